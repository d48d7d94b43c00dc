#include "garden/fingerprint.hpp"

#include <fmt/format.h>

namespace tubgrove {
namespace {

void add_hour(Fingerprint& print, const HourWeather& hour) {
    print.add(hour.length_h);
    print.add(hour.air_temp_degC);
    print.add(hour.rain_mm);
    print.add(hour.et0_mm);
    const auto& terms = hour.et0;
    for (double number : {terms.share, double(terms.hourly), terms.rs_MJ_m2, terms.rs_over_rso, terms.longwave_MJ_m2,
                          terms.delta_kPa_K, terms.gamma_kPa_K, terms.aerodynamic, terms.wind_2m_m_s})
        print.add(number);
}

struct AddEvent {
    Fingerprint& print;
    void told(const std::optional<bool>& flag) const { print.add(std::uint64_t(flag ? 1 + *flag : 0)); }
    void operator()(const Poured& e) const {
        print.add(e.pour_l), print.add(double(e.passes)), print.add(e.sd_share), told(e.ran_through), print.add(std::uint64_t(e.tells));
    }
    void operator()(const Listed& e) const {
        print.add(e.round), print.add(e.pour_l), print.add(double(e.passes)), print.add(std::uint64_t(e.until));
        print.add(e.share.value_or(-1)), print.add(e.followed), told(e.ran_through), print.add(std::uint64_t(e.tells));
    }
    void operator()(const Unlisted& e) const { print.add(e.walk); }
    void operator()(const Felt& e) const { print.add(std::uint64_t(e.moisture) * 2 + e.practised); }
    void operator()(const Weighed& e) const { print.add(e.mass_kg), print.add(std::uint64_t(e.drained)); }
    void operator()(const Drained& e) const { print.add(e.drained_l); }
    void operator()(const Wilted&) const {}
    void operator()(const NotWilted&) const {}
    void operator()(const Emptied&) const {}
};

}  // namespace

std::string Fingerprint::hex() const { return fmt::format("{:016x}", hash_); }

std::vector<std::uint64_t> day_fingerprints(std::span<const DayRecord> days) {
    std::vector<std::uint64_t> prints;
    Fingerprint print;
    for (const auto& day : days) {
        print.add(day.starts);
        print.add(day.mean_temp_degC);
        print.add(day.guess_share);
        print.add(std::uint64_t(day.rung)), print.add(std::uint64_t(day.rain_rung));
        print.add(day.rain_mm.how);
        for (const auto& hour : day.hours) add_hour(print, hour);
        prints.push_back(print.value());
    }
    return prints;
}

std::uint64_t history_fingerprint(const PotLife& life, const PotHistory& history, Instant before) {
    Fingerprint print;
    print.add(history.pot);
    print.add(history.starts);
    for (const auto& from : life.facts) {
        if (from.since >= before) break;
        print.add(from.since);
        print.add(std::uint64_t(from.in_this_pot_since.time_since_epoch().count()));
        for (const auto& [key, value] : from.facts) print.add(key), print.add(value);
    }
    for (const auto& dated : history.setups) {
        if (dated.since >= before) break;
        const auto& words = dated.setup.exposure;
        print.add(dated.since);
        for (const auto& word : {words.bay, words.light, words.shelter, words.rain, words.place, words.ground}) print.add(word);
        print.add(std::uint64_t(dated.setup.container.wall));
        print.add(dated.setup.mulch ? cm(dated.setup.mulch->depth) : 0.0);
        for (const auto& tree : dated.setup.trees) print.add(tree.leaf_share);
        const auto& passing = dated.setup.passing;
        print.add(dated.setup.container.saucer ? litres(*dated.setup.container.saucer) : 0.0);
        print.add(passing.shaded ? passing.shade_share.value_or(-1) : 0.0);
        for (bool holds : {passing.roofed, passing.weeds, passing.blocked, passing.rocked}) print.add(std::uint64_t(holds));
    }
    for (const auto& event : history.events) {
        if (event.at >= before) break;
        print.add(event.at);
        print.add(std::uint64_t(event.what.index()));
        std::visit(AddEvent{print}, event.what);
    }
    return print.value();
}

}  // namespace tubgrove
