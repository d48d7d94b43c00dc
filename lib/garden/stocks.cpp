#include "garden/stocks.hpp"

#include "garden/json_writer.hpp"
#include "plan/plain_text.hpp"
#include "plan/trips.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {

std::string tap_without_end(const Carry& carry) {
    const auto tap = std::ranges::find_if(carry.taps, [](const Tap& t) { return !t.holds; });
    return tap == carry.taps.end() ? std::string() : tap->id;
}

std::vector<StockLine> stocks_of(const Carry& carry, std::span<const Draw> draws) {
    std::vector<StockLine> stocks;
    for (std::size_t t = 0; t < carry.taps.size(); ++t) {
        const auto& tap = carry.taps[t];
        if (!tap.holds) continue;
        StockLine stock{.tap = tap.id, .holds_l = litres(*tap.holds), .needed_l = {}, .lasts_until = {}, .lacking_l = 0, .instead = tap_without_end(carry)};
        std::optional<LocalDay> ran_out;
        for (const auto& draw : draws) {
            if (tap_of(draw.bay, carry) != t) continue;
            stock.needed_l.low += draw.likely_l.low;
            stock.needed_l.median += draw.likely_l.median;
            stock.needed_l.high += draw.likely_l.high;
            if (stock.needed_l.high > stock.holds_l && !ran_out) ran_out = draw.day;
        }
        stock.lacking_l = std::max(0.0, stock.needed_l.high - stock.holds_l);
        if (ran_out) stock.lasts_until = *ran_out - std::chrono::days(1);
        stocks.push_back(std::move(stock));
    }
    return stocks;
}

std::vector<Notice> butt_notices(const Round& round, const Carry& carry) {
    std::vector<Notice> notices;
    const auto instead = tap_without_end(carry);
    for (const auto& tap : carry.taps) {
        if (!tap.holds) continue;
        double taken_l = 0;
        for (const auto& trip : round.trips)
            for (const auto& can : trip.cans)
                if (trip.tap == tap.id) taken_l += can.can_l;
        const double lacking_l = taken_l - litres(*tap.holds);
        if (lacking_l <= 1e-9) continue;
        notices.push_back({.code = "butt-short", .severity = Severity::warning,
                           .values = {{"tap", tap.id}, {"holds_l", fixed_decimals(litres(*tap.holds), 2)}, {"taken_l", fixed_decimals(taken_l, 2)}},
                           .text = tap.id + " holds " + litres_text(litres(*tap.holds)) + " when full, and this list takes up to " + litres_text(taken_l) + " from it: " +
                                   (instead.empty() ? "have " + litres_text(std::ceil(lacking_l)) + " more at hand." : "take the rest from " + instead + ".")});
    }
    return notices;
}

}  // namespace tubgrove
