#include "garden/forecast_members.hpp"

#include "ahead/heat.hpp"
#include "ahead/shares.hpp"
#include "care/words.hpp"
#include "plan/plain_text.hpp"

#include <algorithm>
#include <set>

namespace tubgrove {
namespace {

bool speaks_after(const StoredReadings& readings, Instant now) {
    return std::ranges::any_of(readings.observations, [&](const Observation& o) { return o.ends > now; });
}

int furthest_lead(std::span<const StoredReadings* const> parts, Instant issued, const Zone& zone) {
    Instant last = issued;
    for (const auto* part : parts)
        if (!part->observations.empty()) last = std::max(last, part->observations.back().starts);
    return int((zone.day_of(last) - zone.day_of(issued)).count());
}

}  // namespace

ForecastMembers::ForecastMembers(std::span<const StoredReadings> stored, Instant now, const ForecastKnowledge& knowledge, const SpreadPlace& place)
    : figures_(knowledge.figures), place_(place) {
    gather(stored, now, knowledge);
    share();
}

void ForecastMembers::gather(std::span<const StoredReadings> stored, Instant now, const ForecastKnowledge& knowledge) {
    for (const auto& readings : stored) {
        const auto& series = readings.series;
        if (!series.issued || readings.observations.empty()) continue;
        auto source = std::ranges::find(sources_, series.source, &Source::name);
        if (source == sources_.end())
            source = sources_.insert(source, {.name = series.source, .errors = errors_of(knowledge, series.source), .issues = {}, .share = 0, .speaks = false, .relative_miss = 0});
        auto issue = std::ranges::find(source->issues, *series.issued, &Issue::issued);
        if (issue == source->issues.end()) issue = source->issues.insert(issue, {.issued = *series.issued, .parts = {}, .members = 0});
        issue->parts.push_back(&readings);
        source->speaks = source->speaks || speaks_after(readings, now);
    }
    for (auto& source : sources_) {
        std::ranges::sort(source.issues, std::greater{}, &Issue::issued);
        for (auto& issue : source.issues) {
            std::set<int> members;
            for (const auto* part : issue.parts) members.insert(part->series.member);
            issue.members = int(members.size());
        }
        const auto& newest = source.issues.front();
        source.relative_miss = relative_miss(source.errors, furthest_lead(newest.parts, newest.issued, place_.zone), newest.members > 1, figures_);
    }
}

void ForecastMembers::share() {
    std::ranges::stable_sort(sources_, std::greater{}, [](const Source& s) { return s.issues.front().issued; });
    std::ranges::stable_sort(sources_, {}, &Source::relative_miss);
    std::ranges::stable_sort(sources_, std::greater{}, &Source::speaks);
    const auto speaking = std::span(sources_).first(std::size_t(std::ranges::count_if(sources_, &Source::speaks)));
    if (speaking.empty()) return;
    const int of_table = int(figures_[FigureKey::forecast_members]);
    if (speaking.size() == 1) {
        auto& alone = speaking.front();
        for (const auto& issue : alone.issues) alone.share = std::max(alone.share, issue.members > 1 ? issue.members : of_table);
        members_ = alone.share;
        return;
    }
    std::vector<double> misses;
    for (const auto& source : speaking) misses.push_back(source.relative_miss);
    const auto shares = share_out(of_table, misses);
    for (std::size_t s = 0; s < speaking.size(); ++s) speaking[s].share = shares[s], members_ += shares[s];
}

std::vector<std::vector<Observation>> ForecastMembers::own_members(const Issue& issue) const {
    std::map<int, std::vector<Observation>> members;
    for (const auto* part : issue.parts) std::ranges::copy(part->observations, std::back_inserter(members[part->series.member]));
    std::vector<std::vector<Observation>> found;
    for (auto& [member, observations] : members) found.push_back(std::move(observations));
    return found;
}

void ForecastMembers::add(const Source& source, Slot slot, int preference, std::vector<SeriesReadings>& chosen,
                          std::deque<std::vector<Observation>>& made) const {
    for (const Issue& issue : source.issues) {
        if (issue.members == 1) {
            for (const auto* part : issue.parts) {
                made.push_back(member_of_forecast(part->observations, issue.issued, source.errors, figures_, place_, slot.member, slot.of));
                chosen.push_back({.series = part->series, .observations = made.back(), .preference = preference});
            }
            continue;
        }
        auto members = own_members(issue);
        // Fewer than there are: evenly chosen. More: each of them again and again.
        const int own = int(members.size());
        const int taken = slot.of <= own ? (2 * slot.member - 1) * own / (2 * std::max(slot.of, 1)) : (slot.member - 1) % own;
        made.push_back(slot.member == 0 ? middle_of(members, place_.zone) : std::move(members[std::size_t(taken)]));
        chosen.push_back({.series = issue.parts.front()->series, .observations = made.back(), .preference = preference});
    }
}

std::vector<SeriesReadings> ForecastMembers::of(int member, std::deque<std::vector<Observation>>& made) const {
    std::vector<SeriesReadings> chosen;
    if (sources_.empty()) return chosen;
    std::size_t own = 0;
    int before = 0;                          // members of the sources before
    for (; member > before + sources_[own].share; ++own) before += sources_[own].share;
    for (std::size_t s = 0; s < sources_.size(); ++s) {
        const bool is_own = s == own && member > 0;
        const Slot slot = is_own ? Slot{member - before, sources_[s].share} : Slot{member, members_};
        add(sources_[s], slot, s == own ? 0 : 1 + int(s), chosen, made);
    }
    return chosen;
}

std::map<LocalDay, ForecastMembers::Foretold> ForecastMembers::highest(const Source& source, const DaySpan& span) const {
    std::map<LocalDay, Foretold> found;
    for (const Issue& issue : source.issues) {
        std::map<LocalDay, std::vector<double>> said;
        for (const auto& observations : own_members(issue))
            for (const auto& [day, values] : days_of(observations, place_.zone))
                if (const double t = values[std::size_t(Foreseen::warmest)]; !std::isnan(t) && day >= span.first && day <= span.last) said[day].push_back(t);
        for (auto& [day, values] : said) {
            const LeadErrors& e = source.errors.at(Foreseen::warmest, int((day - place_.zone.day_of(issue.issued)).count()));
            const auto range = range_of(Foreseen::warmest, values.front(), e);
            found.emplace(day, issue.members == 1 ? Foretold{range.low, corrected(Foreseen::warmest, values.front(), e.bias), range.high}
                                                  : Foretold{sample_quantile(values, 0.1), sample_quantile(values, 0.5), sample_quantile(values, 0.9)});
        }
    }
    return found;
}

std::optional<ForecastsDiffer> ForecastMembers::differ(const DaySpan& span) const {
    std::optional<ForecastsDiffer> found;
    if (std::ranges::count_if(sources_, &Source::speaks) < 2) return found;
    double furthest = 0;
    std::vector<std::map<LocalDay, Foretold>> said;
    for (const Source& source : sources_) said.push_back(source.speaks ? highest(source, span) : std::map<LocalDay, Foretold>{});
    for (std::size_t a = 0; a < said.size(); ++a)
        for (std::size_t b = 0; b < said.size(); ++b)
            for (const auto& [day, warm] : said[a]) {
                const auto cool = said[b].find(day);
                if (cool == said[b].end() || warm.low <= cool->second.high || warm.middle - cool->second.middle <= furthest) continue;
                furthest = warm.middle - cool->second.middle;
                found = {.day = day, .warm = sources_[a].name, .cool = sources_[b].name, .warm_degC = warm.middle, .cool_degC = cool->second.middle,
                         .warm_share = double(sources_[a].share) / members_};
            }
    return found;
}

std::string differ_text(const ForecastsDiffer& d) {
    return "Two forecasts disagree: for " + day_text(d.day) + " " + d.warm + " says up to " + plain(d.warm_degC, 0) + " °C, " + d.cool + " up to "
           + plain(d.cool_degC, 0) + " °C. Each counts by how far it erred here: " + plain(10 * d.warm_share, 0) + " in 10 go by " + d.warm + ".";
}

}  // namespace tubgrove
