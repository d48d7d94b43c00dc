// An ensemble as bytes: little-endian, a version first, every list with its length. For a cache that may be deleted.
#include "ensemble/ensemble.hpp"

#include <bit>
#include <cstring>

namespace tubgrove {
namespace {

constexpr std::uint64_t version = 0x5447454e53000001u;   // a new layout takes a new number
constexpr std::uint64_t most = 1u << 20;                 // a longer list is no list of ours

class Writer {
public:
    void take(std::uint64_t x) {
        char eight[8];
        for (int i = 0; i < 8; ++i) eight[i] = char((x >> (8 * i)) & 0xff);   // a compiler makes one word of it
        bytes.append(eight, sizeof eight);
    }
    void take(std::uint32_t x) { take(std::uint64_t(x)); }
    void take(std::int64_t x) { take(std::uint64_t(x)); }
    void take(unsigned char x) { take(std::uint64_t(x)); }
    void take(bool x) { take(std::uint64_t(x)); }
    void take(double x) { take(std::bit_cast<std::uint64_t>(x)); }
    void take(Instant t) { take(std::int64_t(t.time_since_epoch().count())); }
    void take(LocalDay d) { take(std::int64_t(d.time_since_epoch().count())); }
    void take(const std::string& s) {
        take(std::uint64_t(s.size()));
        bytes += s;
    }
    template <class T>
    void take(const std::vector<T>& list) {
        take(std::uint64_t(list.size()));
        for (const T& x : list) take(x);
    }
    void take(const OpenRound& r) { take(r.round), take(r.poured); }
    void take(const SettledRound& r) { take(r.round), take(r.share); }
    void take(const Doubt& d) { take(d.entry), take(d.at), take(d.observed), take(d.expected), take(d.sd); }
    std::string bytes;
};

class Reader {
public:
    explicit Reader(std::string_view text) : bytes(text) {}
    std::uint64_t number() {
        if (bytes.size() < 8) return good = false, 0;
        std::uint64_t x = 0;
        for (int i = 0; i < 8; ++i) x |= std::uint64_t(static_cast<unsigned char>(bytes[std::size_t(i)])) << (8 * i);
        bytes.remove_prefix(8);
        return x;
    }
    void take(std::uint64_t& x) { x = number(); }
    void take(std::uint32_t& x) { x = std::uint32_t(number()); }
    void take(std::int64_t& x) { x = std::int64_t(number()); }
    void take(unsigned char& x) { x = static_cast<unsigned char>(number()); }
    void take(bool& x) { x = number() != 0; }
    void take(double& x) { x = std::bit_cast<double>(number()); }
    void take(Instant& t) { t = Instant(std::chrono::seconds(std::int64_t(number()))); }
    void take(LocalDay& d) { d = LocalDay(std::chrono::days(std::int64_t(number()))); }
    void take(std::string& s) {
        const std::uint64_t n = number();
        if (!good || n > bytes.size()) return void(good = false);
        s.assign(bytes.substr(0, n));
        bytes.remove_prefix(n);
    }
    template <class T>
    void take(std::vector<T>& list) {
        const std::uint64_t n = number();
        if (!good || n > most || n > bytes.size()) return void(good = false);
        list.assign(n, T{});
        for (T& x : list) take(x);
    }
    void take(OpenRound& r) { take(r.round), take(r.poured); }
    void take(SettledRound& r) { take(r.round), take(r.share); }
    void take(Doubt& d) { take(d.entry), take(d.at), take(d.observed), take(d.expected), take(d.sd); }
    std::string_view bytes;
    bool good = true;
};

// One order of fields for both directions.
template <class Way, class Value>
void walk(Way& way, Value& e) {
    way.take(e.pot), way.take(e.until), way.take(e.day), way.take(e.setup), way.take(e.events), way.take(e.resamplings);
    for (auto& z : e.score) way.take(z);
    way.take(e.weights);
    auto& s = e.state;
    way.take(s.depletion_rooted_l), way.take(s.depletion_unrooted_l), way.take(s.surface_mm), way.take(s.saucer_l);
    way.take(s.held_mm), way.take(s.dried), way.take(s.warm_days), way.take(s.rooted_share), way.take(s.top_share);
    way.take(s.available_rooted_l), way.take(s.available_unrooted_l), way.take(s.ready_l), way.take(s.threshold_water_l);
    way.take(s.demand_l_mm), way.take(s.all_rooted);
    way.take(e.reference_kg), way.take(e.reference_at), way.take(e.last_pour_l), way.take(e.last_drained_l);
    way.take(e.open), way.take(e.settled), way.take(e.doubts), way.take(e.warm_rate);
}

bool whole(const Ensemble& e) {
    const std::size_t n = e.size();
    for (const auto& z : e.score)
        if (z.size() != n) return false;
    const PotState& s = e.state;
    for (const auto* q : {&s.depletion_rooted_l, &s.depletion_unrooted_l, &s.surface_mm, &s.saucer_l, &s.held_mm, &s.dried,
                          &s.warm_days, &s.rooted_share, &s.top_share, &s.available_rooted_l, &s.available_unrooted_l,
                          &s.ready_l, &s.threshold_water_l, &s.demand_l_mm})
        if (q->size() != n) return false;
    for (const auto* q : {&e.reference_kg, &e.last_pour_l, &e.last_drained_l})
        if (!q->empty() && q->size() != n) return false;
    for (const OpenRound& round : e.open)
        if (round.poured.size() != n) return false;
    return n > 0;
}

}  // namespace

std::string to_bytes(const Ensemble& e) {
    Writer writer;
    writer.take(version);
    walk(writer, e);
    return std::move(writer.bytes);
}

std::optional<Ensemble> ensemble_from_bytes(std::string_view bytes) {
    Reader reader(bytes);
    if (reader.number() != version) return {};
    Ensemble e;
    walk(reader, e);
    if (!reader.good || !reader.bytes.empty() || !whole(e)) return {};
    return e;
}

}  // namespace tubgrove
