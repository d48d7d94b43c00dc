#include "plan/trips.hpp"

#include "plan/plain_text.hpp"

#include <algorithm>
#include <cassert>
#include <cctype>
#include <cmath>

namespace tubgrove {

namespace {

bool digit(char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; }

std::string_view number_at(std::string_view text, std::size_t from) {
    std::size_t end = from;
    while (end < text.size() && digit(text[end])) ++end;
    std::string_view run = text.substr(from, end - from);
    while (run.size() > 1 && run.front() == '0') run.remove_prefix(1);
    return run;
}

}  // namespace

bool label_before(std::string_view a, std::string_view b) {
    std::size_t i = 0, j = 0;
    while (i < a.size() && j < b.size()) {
        if (digit(a[i]) && digit(b[j])) {
            const std::string_view x = number_at(a, i), y = number_at(b, j);
            if (x.size() != y.size()) return x.size() < y.size();
            if (x != y) return x < y;
            while (i < a.size() && digit(a[i])) ++i;
            while (j < b.size() && digit(b[j])) ++j;
        } else {
            if (a[i] != b[j]) return a[i] < b[j];
            ++i, ++j;
        }
    }
    if ((i == a.size()) != (j == b.size())) return i == a.size();
    return a < b;
}

bool walks_before(const Bay& bay_a, std::string_view pot_a, const Bay& bay_b, std::string_view pot_b) {
    if (bay_a.order != bay_b.order) return bay_a.order < bay_b.order;
    if (bay_a.id != bay_b.id) return label_before(bay_a.id, bay_b.id);
    return label_before(pot_a, pot_b);
}

std::size_t tap_of(const std::string& bay, const Carry& carry) {
    for (std::size_t t = 0; t < carry.taps.size(); ++t)
        for (const std::string& near : carry.taps[t].near)
            if (near == bay) return t;
    return 0;
}

namespace {

// What one pass of a pour takes: equal marks, the first pass the larger part.
double pass_l(const PourLine& p, int pass, double mark_l) {
    if (p.passes <= 1) return pass == 1 ? p.pour_l : 0;
    const double first = std::min(p.pour_l, std::ceil(p.pour_l / p.passes / mark_l - 1e-9) * mark_l);
    return pass == 1 ? first : pass <= p.passes ? (p.pour_l - first) / (p.passes - 1) : 0;
}

// Fills cans one after another; `carry.cans` of them make a trip.
class Filler {
public:
    Filler(std::vector<Trip>& trips, std::string tap, const Carry& carry) : trips_(trips), tap_(std::move(tap)), carry_(carry) {}

    void pour(const std::string& pot, double l, int pass) {
        const double can_l = litres(carry_.can);
        while (l > 1e-9) {
            if (!open_ || trip().cans.back().can_l > can_l - 1e-9) next_can();
            Can& can = trip().cans.back();
            const double part = std::min(l, can_l - can.can_l);
            can.pours.push_back({pot, part, pass});
            can.can_l += part;
            l -= part;
        }
    }

private:
    Trip& trip() { return trips_.back(); }
    void next_can() {
        if (!open_ || int(trip().cans.size()) >= carry_.cans) trips_.push_back({tap_, {}});
        trip().cans.emplace_back();
        open_ = true;
    }
    std::vector<Trip>& trips_;
    std::string tap_;
    const Carry& carry_;
    bool open_ = false;
};

}  // namespace

std::vector<Trip> trips_of(std::span<const PourLine> pours, const Carry& carry) {
    assert(litres(carry.can) > 0 && carry.cans >= 1);
    const std::size_t taps = std::max<std::size_t>(1, carry.taps.size());
    int passes = 1;
    for (const PourLine& p : pours) passes = std::max(passes, p.passes);
    std::vector<Trip> trips;
    for (int pass = 1; pass <= passes; ++pass)
        for (std::size_t t = 0; t < taps; ++t) {
            Filler filler(trips, carry.taps.empty() ? std::string() : carry.taps[t].id, carry);
            for (const PourLine& p : pours)
                if (tap_of(p.bay, carry) == t) filler.pour(p.pot, pass_l(p, pass, litres(carry.mark)), pass);
        }
    return trips;
}

std::optional<Notice> weight_notice(std::span<const Trip> trips) {
    constexpr double kg_per_l = 1, empty_can_kg = 0.5, worth_saying_kg = 10;
    double heaviest = 0;
    std::size_t cans = 0;
    for (const Trip& trip : trips) {
        double load = 0;
        for (const Can& can : trip.cans) load += can.can_l * kg_per_l + empty_can_kg;
        if (load > heaviest) heaviest = load, cans = trip.cans.size();
    }
    if (heaviest < worth_saying_kg) return {};
    const std::string load = plain(heaviest, 0);
    return Notice{"carry-weight", Severity::note, {{"mass_kg", load}, {"cans", std::to_string(cans)}},
                  (cans > 1 ? "The heaviest trip carries about " + load + " kg in " + std::to_string(cans) + " cans"
                            : "The fullest can weighs about " + load + " kg")
                      + ": bend at the knees, one can in each hand, or fill them half and go twice; stop if your back says so."};
}

}  // namespace tubgrove
