// Where a list asks for water and the medium is taken to be frozen: words that hold the pour back until it has thawed.
#include "care/roots.hpp"
#include "care/words.hpp"
#include "garden/care_now.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

using std::chrono::days;

enum class Frost : unsigned char { none, morning, all_day };

std::string whole(double degC) {
    const long n = std::lround(degC);
    return n == 0 ? "0" : std::to_string(n);
}

Frost frost_of(const Situation& at, LocalDay day) {
    if (at.value(CareValue::medium_high_degC, {}, day) <= freezing_degC) return Frost::all_day;
    return at.value(CareValue::medium_low_degC, {}, day) <= freezing_degC ? Frost::morning : Frost::none;
}

// The first day ahead on which it is expected to thaw; empty: not as far as the weather is seen.
std::optional<LocalDay> thaws_on(const Situation& at, LocalDay day) {
    for (LocalDay later = day + days(1); at.site().on(later).known; later += days(1))
        if (at.value(CareValue::medium_high_degC, {}, later) > freezing_degC) return later;
    return std::nullopt;
}

Remark frozen_remark(const Situation& at, Frost frost, LocalDay day) {
    const bool all_day = frost == Frost::all_day;
    Remark remark{all_day ? "frozen" : "frozen-morning", {{"medium_degC", whole(at.value(all_day ? CareValue::medium_high_degC : CareValue::medium_low_degC, {}, day))}}, {}};
    if (!all_day) {
        remark.text = "may be frozen this morning: pour once it has thawed.";
        return remark;
    }
    const auto thaw = thaws_on(at, day);
    if (thaw) remark.values["thaws"] = format_day(*thaw);
    remark.text = "taken to be frozen all day: nothing before it has thawed, " + (thaw ? "expected on " + day_text(*thaw) + "." : std::string("which is not in sight yet."));
    return remark;
}

}  // namespace

void tell_frozen(Round& round, const CareNow& care) {
    std::string names;
    bool all_day = false;
    for (auto& line : round.pours) {
        const auto pot = std::ranges::find(care.pots, line.pot, &PotCare::id);
        if (pot == care.pots.end()) continue;
        const Situation at(care.site, *pot, pot->trees.front());
        const Frost frost = frost_of(at, round.day);
        if (frost == Frost::none) continue;
        line.because.push_back(frozen_remark(at, frost, round.day));
        names += (names.empty() ? "" : ", ") + line.pot;
        all_day = all_day || frost == Frost::all_day;
    }
    if (names.empty()) return;
    round.notices.push_back({.code = "frozen-medium", .severity = Severity::warning, .values = {{"pots", names}},
                             .text = std::string(all_day ? "The medium is taken to be frozen, all day or in the morning, in " : "The medium may be frozen this morning in ") + names +
                                     ", by the air and the pot's size; no probe has told. No water onto frozen medium: it does not soak in, and ice may crack a pot. Feel it; "
                                     "what it lacks can wait for the mildest hours of a day on which it has thawed. Mind ice on the path."});
}

}  // namespace tubgrove
