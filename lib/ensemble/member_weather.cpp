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
    switch (day.rung) {
    case Rung::own_readings: return PriorKey::rain_own;
    case Rung::published: return PriorKey::rain_published;
    default: return PriorKey::rain_by_hand;
    }
}

// Each member's factor on the day's ET0: the lasting error of such weather, heat of paving, the forecast's error, and an
// upward part in heat where the weather was guessed (guessed humidity and wind err low there, [FAO56] chapter 4 recomputed).
std::vector<double> et0_factors(const Ensemble& e, const MemberPlace& place, const Priors& priors, const DayRecord& day, const Ahead& ahead) {
    constexpr double hot_degC = 28;
    const double sd = priors[et0_key(day.rung)].sd_ln;
    const double forecast_sd = ahead.days > 0 ? priors[PriorKey::et0_forecast].sd_ln * (ahead.several ? 0.5 : 1.0) : 0;
    const double low_by = priors.fixed(PriorKey::et0_guess_heat) * day.guess_share
                          * std::max(0.0, day.air_temp_max_degC.value - hot_degC);
    std::vector<double> factor(e.size());
    for (std::size_t i = 0; i < e.size(); ++i) {
        const double z = e[Dim::et0_error][i];
        factor[i] = exponential(sd * z + forecast_sd * e[Dim::forecast][i] + (low_by > 0 ? 2 * low_by * normal_cdf(z) : 0))
                    * place.heat[i];
    }
    return factor;
}

// Chance events of a forecast day, the same for a member on every run: rain that stays away, rain out of nothing.
double chance(const Ensemble& e, const DayRecord& day, std::size_t member, std::uint64_t salt) {
    const auto number = std::uint64_t(day.day.time_since_epoch().count());
    return unit_interval(splitmix64(splitmix64(fnv1a(e.pot) ^ (number * 2 + salt)) + member));
}

void book_rain(MemberDay& out, const Ensemble& e, const Priors& priors, const DayRecord& day, const Ahead& ahead) {
    const double sd = priors[rain_key(day)].sd_ln;
    const bool guessing = ahead.days > 0 && !ahead.several;
    std::vector<double> factor(e.size());
    for (std::size_t i = 0; i < e.size(); ++i) {
        factor[i] = exponential(sd * e[Dim::rain_error][i]);
        if (guessing && chance(e, day, i, 0) < priors.fixed(PriorKey::rain_missed)) factor[i] = 0;
    }
    for (std::size_t h = 0; h < day.hours.size(); ++h) {
        if (!(day.hours[h].rain_mm > 0)) continue;
        out.rains[h] = 1;
        for (std::size_t i = 0; i < e.size(); ++i) out.rain_mm[h * e.size() + i] = day.hours[h].rain_mm * factor[i];
    }
}

}  // namespace

MemberPlace member_place(const Ensemble& e, const Belief& belief) {
    MemberPlace place{values_of(e, belief, Dim::radiation), values_of(e, belief, Dim::wind), std::vector<double>(e.size())};
    for (std::size_t i = 0; i < e.size(); ++i) place.heat[i] = value_at(belief.heat, e[Dim::et0_error][i]);
    return place;
}

MemberDay member_day(const Ensemble& e, const MemberPlace& place, const Priors& priors, const DayRecord& day, const Ahead& ahead) {
    const std::size_t n = e.size(), hours = day.hours.size();
    MemberDay out{n, std::vector<double>(n * hours), std::vector<double>(n * hours, 0.0),
                  std::vector<unsigned char>(hours, 0), std::vector<double>(n, 0.0)};
    const std::vector<double> factor = et0_factors(e, place, priors, day, ahead);
    for (std::size_t h = 0; h < hours; ++h) {
        double* row = out.et0_mm.data() + h * n;
        const Et0Terms terms = day.hours[h].et0;
        for (std::size_t i = 0; i < n; ++i) row[i] = et0_mm(terms, place.light[i], place.wind[i]) * factor[i];
        for (std::size_t i = 0; i < n; ++i) out.day_et0_mm[i] += row[i];
    }
    book_rain(out, e, priors, day, ahead);
    return out;
}

}  // namespace tubgrove
