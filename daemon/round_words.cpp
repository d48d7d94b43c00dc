#include "round_words.hpp"

#include "garden/reasons.hpp"
#include "phrases.hpp"
#include "terminal.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace tubgrove {
namespace {

// Reasons are joined by semicolons, whether they came as sentences or as a few words.
std::string without_stop(std::string text) {
    if (text.ends_with('.')) text.pop_back();
    return text;
}

std::optional<double> value_of(const Remark& remark, const std::string& key) {
    const auto found = remark.values.find(key);
    return found == remark.values.end() ? std::nullopt : std::optional(std::stod(found->second));
}

// A reason of today, or advice for this pot, that no notice of the list tells already.
bool of_today(const Remark& remark, const Round& round) {
    const ReasonKind kind = kind_of(remark);
    return (kind == ReasonKind::today || kind == ReasonKind::advice) && !told_by_notice(remark, round);
}

struct Advice {
    std::string_view code, text;
};
constexpr Advice advices[] = {
    {"holds-less-than-a-day",
     "likely dry before the next walk, however well poured. A second walk, shade or a larger pot would help."},
    {"new-planting",
     "newly planted and still drinking from the root ball. Pour onto the ball, close to the stem, at each walk; shade and "
     "a screen from wind help until roots have spread."},
};

// The pot's own part of what is advised below the list. A list kept from before may lack a number, and says all of it.
std::string short_text(const Remark& remark) {
    const auto before_walk_h = value_of(remark, "before_walk_h"), free_l = value_of(remark, "free_l");
    const auto use_l = value_of(remark, "day_use_l"), rooted = value_of(remark, "rooted_pct");
    if (remark.code == "holds-less-than-a-day" && before_walk_h && free_l && use_l) {
        const std::string dry = "however well poured, it is likely dry about " +
                                counted(std::max(1L, std::lround(*before_walk_h)), "hour", "hours") + " before the next walk";
        const auto filled_l = value_of(remark, "filled_l");
        // Figures that look alike as they are printed show nothing.
        const auto less = [&](double l) { return std::round(10 * l) < std::round(10 * *use_l); };
        const std::string uses = " freely, uses " + litres_said(*use_l, 1) + ")";
        if (less(*free_l)) return dry + " (when full it gives " + litres_said(*free_l, 1) + uses;
        return filled_l && less(*filled_l) ? dry + " (after the best pour it gives " + litres_said(*filled_l, 1) + uses : dry;
    }
    if (remark.code == "new-planting" && rooted && use_l)
        return "roots hold about " + plain(*rooted, 0) + std::string(nbsp) + "% of the pot and drink " + litres_said(*use_l, 1) + " today";
    return without_stop(remark.text);
}

// When it runs dry is told in the garden's words, which know "dry already" from "tomorrow 14:00".
std::string dry(const PourLine& line, LocalDay day, const Zone& zone) {
    const auto told = std::ranges::find_if(line.because, [](const Remark& remark) { return remark.code == "dry-at" || remark.code == "dry-early"; });
    if (told != line.because.end()) return without_stop(told->text) + ".";
    if (!line.dry_at) return "lasts more than ten days without water.";
    return "without water dry " + moment_from(*line.dry_at, day, zone) + ".";
}

void gather(std::vector<Gathered>& all, const std::string& text, const std::string& pot) {
    auto found = std::ranges::find(all, text, &Gathered::text);
    if (found == all.end()) found = all.insert(all.end(), {{}, text});
    if (std::ranges::find(found->pots, pot) == found->pots.end()) found->pots.push_back(pot);
}

// What is true of the same pots stands in one line.
std::vector<Gathered> by_pots(const std::vector<Gathered>& all) {
    std::vector<Gathered> merged;
    for (const auto& one : all) {
        const auto same = std::ranges::find(merged, one.pots, &Gathered::pots);
        if (same == merged.end())
            merged.push_back(one);
        else
            same->text += "; " + one.text;
    }
    return merged;
}

}  // namespace

std::string need_said(const PourLine& line, LocalDay day, const Zone& zone) {
    const std::string low = plain(line.low_l, 1), high = plain(line.high_l, 1);
    const std::string litres = low == high ? "about " + high : low + " to " + high;
    return "Needs " + kept(litres + " L") + "; " + dry(line, day, zone);
}

std::string special_said(const PourLine& line, const Round& round) {
    std::vector<std::string> parts;
    for (const Remark& remark : line.because)
        if (of_today(remark, round)) parts.push_back(short_text(remark));
    return as_sentence(capitalised(joined(parts, "; ")));
}

std::string said(const Gathered& gathered, const Round& round) {
    const std::string text = as_sentence(without_stop(gathered.text));
    if (round.pours.size() == 1) return capitalised(text);
    const bool every = gathered.pots.size() == round.pours.size();
    return (every ? "All" : joined(gathered.pots, ", ")) + ": " + text;
}

std::vector<Gathered> advice_of(const Round& round) {
    std::vector<Gathered> all;
    for (const auto& [code, text] : advices)
        for (const PourLine& line : round.pours)
            if (std::ranges::find(line.because, code, &Remark::code) != line.because.end())
                gather(all, std::string(text), line.pot);
    return all;
}

std::vector<Gathered> unknowns_of(const Round& round) {
    std::vector<Gathered> all;
    for (const PourLine& line : round.pours)
        for (const Remark& remark : line.because) {
            if (kind_of(remark) != ReasonKind::range || told_by_notice(remark, round)) continue;
            gather(all, without_stop(remark.text), line.pot);
        }
    return by_pots(all);
}

}  // namespace tubgrove
