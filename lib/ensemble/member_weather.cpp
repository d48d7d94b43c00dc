#include "ensemble/member_weather.hpp"

#include "climate/bay.hpp"
#include "pot/exponential.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

PriorKey et0_key(Rung rung) {
    switch (rung) {
    case Rung::own_readings: return PriorKey::et0_own;
    case Rung::published: return PriorKey::et0_published;
    case Rung::by_hand: return PriorKey::et0_by_hand;
    case Rung::normals: return PriorKey::et0_normals;
    }
    return PriorKey::et0_normals;
}

PriorKey rain_key(const DayRecord& day) {
    if (day.guessed.rain) return PriorKey::rain_normals;
    switch (day.rain_rung) {
    case Rung::own_readings: return PriorKey::rain_own;
    case Rung::published: return PriorKey::rain_published;
    default: return PriorKey::rain_by_hand;
    }
}

// Each member's factor on the day's ET0: the lasting error of such weather, heat of paving, the forecast's error, and an
// upward part in heat where the weather was guessed (guessed humidity and wind err low there, [FAO56] chapter 4 recomputed).
struct Et0Factors {
    double sd_ln, forecast_sd_ln;
    std::span<const double> score, forecast, raised_ln, heat;
    std::span<double> factor;

    template <class Real>
    TUBGROVE_LANES void run(std::size_t at) const {
        const Real ln = sd_ln * load<Real>(score, at) + forecast_sd_ln * load<Real>(forecast, at) + load<Real>(raised_ln, at);
        store(factor, at, exponential_of(ln) * load<Real>(heat, at));
    }
};

std::vector<double> et0_factors(const Ensemble& e, const MemberPlace& place, const Priors& priors, const DayRecord& day, const Ahead& ahead) {
    constexpr double hot_degC = 28;
    const double sd = priors[et0_key(day.rung)].sd_ln;
    const double forecast_sd = ahead.days > 0 ? priors[PriorKey::et0_forecast].sd_ln * (ahead.several ? 0.5 : 1.0) : 0;
    const double low_by = priors.fixed(PriorKey::et0_guess_heat) * day.guess_share
                          * std::max(0.0, (place.room ? place.room->held(day.air_temp_max_degC.value) : day.air_temp_max_degC.value) - hot_degC);
    std::vector<double> factor(e.size()), raised(e.size());
    if (low_by > 0)
        for (std::size_t i = 0; i < e.size(); ++i) raised[i] = 2 * low_by * normal_cdf(e[Dim::et0_error][i]);
    side_by_side(Et0Factors{sd, forecast_sd, e[Dim::et0_error], e[Dim::forecast], raised, place.heat, factor}, e.size());
    return factor;
}

// Chance events of a forecast day, the same for a member on every run: rain that stays away, rain out of nothing.
double chance(const Ensemble& e, const DayRecord& day, std::size_t member, std::uint64_t salt) {
    const auto number = std::uint64_t(day.day.time_since_epoch().count());
    return unit_interval(splitmix64(splitmix64(fnv1a(e.pot) ^ (number * 2 + salt)) + member));
}

void book_rain(MemberDay& out, const Ensemble& e, const Priors& priors, const DayRecord& day, const Ahead& ahead) {
    const auto rains = [](const HourWeather& hour) { return hour.rain_mm > 0; };
    if (std::none_of(day.hours.begin(), day.hours.end(), rains)) return;
    out.rain_mm.assign(out.et0_mm.size(), 0.0);
    const bool guessing = ahead.days > 0 && !ahead.several;
    std::vector<double> factor = values_at(lognormal_prior(1, priors[rain_key(day)].sd_ln), e[Dim::rain_error]);
    for (std::size_t i = 0; guessing && i < e.size(); ++i)
        if (chance(e, day, i, 0) < priors.fixed(PriorKey::rain_missed)) factor[i] = 0;
    for (std::size_t h = 0; h < day.hours.size(); ++h) {
        if (!rains(day.hours[h])) continue;
        out.rains[h] = 1;
        for (std::size_t i = 0; i < e.size(); ++i) out.rain_mm[h * e.size() + i] = day.hours[h].rain_mm * factor[i];
    }
}

// ET0 of all hours of a day, and their sum.
struct Et0Hours {
    std::span<const HourWeather> hours;
    const MemberPlace& place;
    std::span<const double> factor;
    MemberDay& out;

    template <class Real>
    TUBGROVE_LANES void run(std::size_t at) const {
        const Real light = load<Real>(place.light, at), wind = load<Real>(place.wind, at), f = load<Real>(factor, at);
        Real sum = each<Real>(0);
        for (std::size_t h = 0; h < hours.size(); ++h) {
            const Real et0 = et0_of(hours[h].et0, light, wind) * f;
            store(out.et0_mm, h * out.members + at, et0);
            sum += et0;
        }
        store(out.day_et0_mm, at, sum);
    }
};

}  // namespace

MemberPlace member_place(const Ensemble& e, const Belief& belief) {
    return {values_of(e, belief, Dim::radiation), values_of(e, belief, Dim::wind), values_at(belief.heat, e[Dim::et0_error]), belief.room};
}

MemberDay member_day(const Ensemble& e, const MemberPlace& place, const Priors& priors, const DayRecord& day, const Ahead& ahead) {
    const std::size_t n = e.size(), hours = day.hours.size();
    MemberDay out{n, std::vector<double>(n * hours), {}, std::vector<unsigned char>(hours, 0), std::vector<double>(n)};
    const std::vector<double> factor = et0_factors(e, place, priors, day, ahead);
    const std::vector<HourWeather> inside = place.room ? hours_in(*place.room, day) : std::vector<HourWeather>();
    side_by_side(Et0Hours{place.room ? std::span<const HourWeather>(inside) : std::span<const HourWeather>(day.hours), place, factor, out}, n);
    book_rain(out, e, priors, day, ahead);
    return out;
}

}  // namespace tubgrove
