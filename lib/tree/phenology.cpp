#include "tree/phenology.hpp"

#include "tree/degree_days.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace tubgrove {
namespace {

constexpr double spur_part = 0.543, shoot_part = 0.457;      // Source: [FORSHEY]
constexpr double spur_end_dd4 = 350, shoot_end_dd4 = 850;    // Source: [EISENSMITH]; own assumption for apple
constexpr double leaf_base_degC = 4;
constexpr double dd4_per_dd5 = 1.2;                          // in spring, at about 10 degC. Own assumption
constexpr double usual_dd_per_day = 6;                       // around bloom. Own assumption
constexpr int fall_days = 21;
constexpr int autumn_day = 172;                              // days after midwinter: the longest day
constexpr double apple_bloom_dd = 252;

using std::chrono::days;
using std::chrono::year_month_day;

LocalDay midwinter_before(LocalDay day, bool south) {
    const year_month_day date{day};
    const auto month = south ? std::chrono::July : std::chrono::January;
    const LocalDay this_year{year_month_day{date.year(), month, std::chrono::day(1)}};
    if (this_year <= day) return this_year;
    return LocalDay{year_month_day{date.year() - std::chrono::years(1), month, std::chrono::day(1)}};
}

struct StageSum {
    std::string_view name;
    double dd;
};

// The species' stages that have a sum, by rising sum.
std::vector<StageSum> sums_of(const Species& s) {
    std::vector<StageSum> sums;
    const auto add = [&](std::string_view name, const std::optional<double>& dd) {
        if (dd) sums.push_back({name, *dd});
    };
    add("green-tip", s.green_tip_dd);
    add("first-leaf", s.first_leaf_dd);
    add("full-bloom", s.full_bloom_dd);
    add("petal-fall", s.petal_fall_dd);
    std::sort(sums.begin(), sums.end(), [](const StageSum& a, const StageSum& b) { return a.dd < b.dd; });
    return sums;
}

// One tree's year, a day at a time.
class Year {
public:
    Year(const Species& species, const GrowingSite& site, const std::map<std::string, LocalDay>& observed)
        : species_(species), site_(site), observed_(observed), sums_(sums_of(species)), south_(site.latitude_deg < 0) {}

    TreeDay next(const SeasonDay& d) {
        const LocalDay midwinter = midwinter_before(d.day, south_);
        if (!season_) start(d, midwinter);
        else if (*season_ != midwinter) turn(d.day);
        season_ = midwinter;
        const int day_of_season = int((d.day - midwinter).count());
        warm(d, midwinter);
        watch_autumn(d, day_of_season);
        const double fresh = leafed_ ? leaf_share_at(dd4_) : 0;
        return {std::max(fresh * left_on(d.day, day_of_season), last_year_ * left_of_last_year(d.day)), bloomed_};
    }

private:
    double first_leaf_dd() const { return species_.first_leaf_dd.value_or(0); }

    // Days that begin in mid-season: the heat so far from the site's latitude and height.
    void start(const SeasonDay& d, LocalDay midwinter) {
        const double so_far = double((d.day - midwinter).count());
        if (so_far <= 14) return;
        const double bloom_dd = species_.full_bloom_dd.value_or(first_leaf_dd() + 40);
        const double apple = usual_bloom_day(site_);
        const double bloom = species_.full_bloom_dd ? apple + (bloom_dd - apple_bloom_dd) / usual_dd_per_day : apple + 10;
        heat_ = std::max(0.0, bloom_dd + usual_dd_per_day * (so_far - bloom));
        leafed_ = heat_ >= first_leaf_dd();
        dd4_ = leafed_ ? dd4_per_dd5 * (heat_ - first_leaf_dd()) : 0;
        if (species_.full_bloom_dd && so_far > bloom) bloomed_ = midwinter + days(long(bloom));
        if (so_far > autumn_day && d.daylight_h < 10) fall_began_ = d.day - days(fall_days);   // bare already
    }

    // Midwinter: a new season. Leaves still on fall now at the latest.
    void turn(LocalDay day) {
        last_year_ = leafed_ ? leaf_share_at(dd4_) : 0;
        last_fall_ = fall_began_ ? fall_began_ : std::optional<LocalDay>(day);
        heat_ = dd4_ = 0;
        leafed_ = false;
        fall_began_.reset();
        frost_.reset();
        bloomed_.reset();
    }

    void warm(const SeasonDay& d, LocalDay midwinter) {
        if (leafed_) dd4_ += std::max(0.0, d.mean_degC - leaf_base_degC);
        heat_ += degree_days_average({d.max_degC, d.min_degC}, species_.base_degC);
        for (const StageSum& s : sums_) {
            const auto seen = observed_.find(std::string(s.name));
            if (seen == observed_.end() || midwinter_before(seen->second, south_) != midwinter) continue;
            if (seen->second == d.day) reach(s.dd);
            else if (seen->second > d.day) hold(s.dd);
        }
        if (!leafed_ && heat_ >= first_leaf_dd() && species_.first_leaf_dd) leafed_ = true;
        if (!bloomed_ && species_.full_bloom_dd && heat_ >= *species_.full_bloom_dd) bloomed_ = d.day;
    }

    void reach(double dd) {
        heat_ = dd;
        if (dd <= species_.full_bloom_dd.value_or(0)) bloomed_.reset();
        leafed_ = heat_ >= first_leaf_dd();
        dd4_ = leafed_ ? dd4_per_dd5 * (heat_ - first_leaf_dd()) : 0;
    }
    // A stage that was seen later cannot have passed yet.
    void hold(double dd) {
        if (heat_ < dd) return;
        heat_ = std::nextafter(dd, 0.0);
        if (heat_ < species_.full_bloom_dd.value_or(0)) bloomed_.reset();
        leafed_ = leafed_ && heat_ >= first_leaf_dd();
        dd4_ = leafed_ ? std::min(dd4_, dd4_per_dd5 * (heat_ - first_leaf_dd())) : 0;
    }

    void watch_autumn(const SeasonDay& d, int day_of_season) {
        means_.push_back(d.mean_degC);
        if (means_.size() > 10) means_.erase(means_.begin());
        if (day_of_season <= autumn_day || fall_began_) return;
        if (!frost_ && d.min_degC <= -3) frost_ = d.day;
        double sum = 0;
        for (double t : means_) sum += t;
        const bool dark_and_cold = d.daylight_h < 11 && sum / double(means_.size()) < 8;
        if (dark_and_cold || (frost_ && d.day >= *frost_ + days(5))) fall_began_ = d.day;
    }

    static double remaining(double days_in) { return std::clamp(1 - days_in / fall_days, 0.0, 1.0); }

    double left_on(LocalDay day, int day_of_season) const {
        const auto seen = observed_.find("leaf-fall");
        if (seen != observed_.end() && midwinter_before(seen->second, south_) == *season_ && day_of_season > autumn_day)
            return remaining(double((day - seen->second).count()) + fall_days / 2.0);
        return fall_began_ ? remaining(double((day - *fall_began_).count())) : 1;
    }
    double left_of_last_year(LocalDay day) const { return last_fall_ ? remaining(double((day - *last_fall_).count())) : 0; }

    const Species& species_;
    const GrowingSite& site_;
    const std::map<std::string, LocalDay>& observed_;
    std::vector<StageSum> sums_;
    bool south_;
    std::optional<LocalDay> season_, fall_began_, last_fall_, frost_, bloomed_;
    double heat_ = 0, dd4_ = 0, last_year_ = 0;
    bool leafed_ = false;
    std::vector<double> means_;
};

}  // namespace

double leaf_share_at(double dd4) {
    return spur_part * std::min(1.0, dd4 / spur_end_dd4) + shoot_part * std::min(1.0, dd4 / shoot_end_dd4);
}

double learned_sum_dd(double prior_dd, std::span<const double> seen_dd) {
    double sum = 2 * prior_dd;
    for (double dd : seen_dd) sum += dd;
    return sum / (2 + double(seen_dd.size()));
}

double usual_bloom_day(const GrowingSite& site) { return 110 + 4 * (std::fabs(site.latitude_deg) - 45) + 4 * site.elevation_m / 122; }

std::vector<TreeDay> tree_days(const Species& species, const GrowingSite& site, std::span<const SeasonDay> season,
                               const std::map<std::string, LocalDay>& observed) {
    if (species.evergreen) return std::vector<TreeDay>(season.size(), {1.0, {}});
    Year year(species, site, observed);
    std::vector<TreeDay> tree;
    tree.reserve(season.size());
    for (const SeasonDay& d : season) tree.push_back(year.next(d));
    return tree;
}

std::vector<double> leaf_shares(const Species& species, const GrowingSite& site, std::span<const SeasonDay> season,
                                const std::map<std::string, LocalDay>& observed) {
    std::vector<double> shares;
    for (const TreeDay& d : tree_days(species, site, season, observed)) shares.push_back(d.leaf_share);
    return shares;
}

}  // namespace tubgrove
