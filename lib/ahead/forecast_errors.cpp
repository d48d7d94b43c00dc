#include "ahead/forecast_errors.hpp"

#include "ensemble/points.hpp"
#include "pot/exponential.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

bool by_ratio(Foreseen q) { return q == Foreseen::wind || q == Foreseen::radiation; }
constexpr double least_wind_m_s = 0.2, least_radiation_W_m2 = 5;   // keep a logarithm finite

struct Growing {
    FigureKey sd, growth;
};
Growing prior_of(Foreseen q) {
    switch (q) {
    case Foreseen::warmest: return {FigureKey::warmest_sd_K, FigureKey::warmest_growth_K};
    case Foreseen::coldest: return {FigureKey::coldest_sd_K, FigureKey::coldest_growth_K};
    case Foreseen::dew_point: return {FigureKey::dew_sd_K, FigureKey::dew_growth_K};
    case Foreseen::humidity: return {FigureKey::humidity_sd_pct, FigureKey::humidity_growth_pct};
    case Foreseen::wind: return {FigureKey::wind_sd_ln, FigureKey::wind_growth_ln};
    case Foreseen::radiation: return {FigureKey::radiation_sd_ln, FigureKey::radiation_growth_ln};
    default: return {FigureKey::rain_sd_ln, FigureKey::rain_growth_ln};
    }
}
double prior_sd(const Figures& f, Foreseen q, int lead) { return f[prior_of(q).sd] + lead * f[prior_of(q).growth]; }

// One day being put together from hours.
struct Gathered {
    double max = -1e9, min = 1e9, temperature_h = 0;
    std::array<double, foreseen_count> sum{}, hours{};
    DayValues of_day = no_values;
};

void put(DayValues& values, Foreseen q, double x) {
    if (!std::isnan(x)) values[std::size_t(q)] = x;
}

void add_day(Gathered& g, const Observation& o) {
    put(g.of_day, Foreseen::warmest, o[Channel::air_temperature_max]);
    put(g.of_day, Foreseen::coldest, o[Channel::air_temperature_min]);
    put(g.of_day, Foreseen::dew_point, o[Channel::dew_point_temperature_mean]);
    put(g.of_day, Foreseen::humidity, o[Channel::relative_humidity_mean]);
    put(g.of_day, Foreseen::wind, o[Channel::wind_speed_mean]);
    put(g.of_day, Foreseen::radiation, o[Channel::surface_downwelling_shortwave_flux_in_air_mean]);
    put(g.of_day, Foreseen::rain, o[Channel::precipitation_amount_sum]);
}

void add_hour(Gathered& g, const Observation& o, double length_h) {
    bool warm = false;
    for (Channel c : {Channel::air_temperature_mean, Channel::air_temperature_max, Channel::air_temperature_min})
        if (o.has(c)) g.max = std::max(g.max, o[c]), g.min = std::min(g.min, o[c]), warm = true;
    if (warm) g.temperature_h += length_h;
    const auto mean = [&](Foreseen q, Channel c) {
        if (o.has(c)) g.sum[std::size_t(q)] += o[c] * length_h, g.hours[std::size_t(q)] += length_h;
    };
    mean(Foreseen::dew_point, Channel::dew_point_temperature_mean);
    mean(Foreseen::humidity, Channel::relative_humidity_mean);
    mean(Foreseen::wind, Channel::wind_speed_mean);
    mean(Foreseen::radiation, Channel::surface_downwelling_shortwave_flux_in_air_mean);
    if (o.has(Channel::precipitation_amount_sum)) {
        g.sum[std::size_t(Foreseen::rain)] += o[Channel::precipitation_amount_sum];
        g.hours[std::size_t(Foreseen::rain)] += length_h;
    }
}

DayValues whole(const Gathered& g) {
    constexpr double hours_of_air = 20, hours_of_all = 22;
    DayValues values = g.of_day;
    const auto unless_given = [&](Foreseen q, double x) {
        if (std::isnan(values[std::size_t(q)])) values[std::size_t(q)] = x;
    };
    if (g.temperature_h >= hours_of_air) unless_given(Foreseen::warmest, g.max), unless_given(Foreseen::coldest, g.min);
    for (Foreseen q : {Foreseen::dew_point, Foreseen::humidity, Foreseen::wind, Foreseen::radiation, Foreseen::rain}) {
        const double hours = g.hours[std::size_t(q)];
        const bool all = q == Foreseen::radiation || q == Foreseen::rain;
        if (hours < (all ? hours_of_all : hours_of_air)) continue;
        unless_given(q, q == Foreseen::rain ? g.sum[std::size_t(q)] : g.sum[std::size_t(q)] / hours);
    }
    return values;
}

void learn_one(LeadErrors& into, std::span<const double> errors, double sd0, double n0) {
    double sum = 0, squares = 0;
    for (double e : errors) sum += e;
    const double n = double(errors.size());
    into.days = int(errors.size());
    into.bias = sum / (n + n0);
    for (double e : errors) squares += (e - into.bias) * (e - into.bias);
    into.sd = std::sqrt((n0 * sd0 * sd0 + squares) / (n + n0));
}

RainErrors learn_rain(std::span<const Compared* const> compared, int lead, const Figures& f) {
    const double n0 = f[FigureKey::forecast_trust_days], wet = f[FigureKey::rain_wet_mm];
    const double missed0 = std::min(0.9, f[FigureKey::rain_missed] + lead * f[FigureKey::rain_missed_growth]);
    const double unforeseen0 = std::min(0.9, f[FigureKey::rain_unforeseen] + lead * f[FigureKey::rain_unforeseen_growth]);
    RainErrors r;
    double missed = 0, unforeseen = 0;
    std::vector<double> ratio, amount;
    for (const Compared* c : compared) {
        const double foreseen = c->forecast[std::size_t(Foreseen::rain)], came = c->came[std::size_t(Foreseen::rain)];
        if (std::isnan(foreseen) || std::isnan(came)) continue;
        if (foreseen >= wet) {
            ++r.wet_days;
            if (came < wet) missed += 1;
            else ratio.push_back(logarithm(came / foreseen));
        } else {
            ++r.dry_days;
            if (came >= wet) unforeseen += 1, amount.push_back(logarithm(came));
        }
    }
    r.missed = (missed + n0 * missed0) / (r.wet_days + n0);
    r.unforeseen = (unforeseen + n0 * unforeseen0) / (r.dry_days + n0);
    LeadErrors amounts, late;
    learn_one(amounts, ratio, prior_sd(f, Foreseen::rain, lead), n0);
    const double usual = logarithm(std::max(f[FigureKey::rain_unforeseen_mm], 0.1));
    for (double& x : amount) x -= usual;
    learn_one(late, amount, f[FigureKey::rain_unforeseen_sd_ln], n0);
    r.bias_ln = amounts.bias, r.sd_ln = amounts.sd;
    r.unforeseen_ln_mm = usual + late.bias, r.unforeseen_sd_ln = late.sd;
    return r;
}

}  // namespace

std::map<LocalDay, DayValues> days_of(std::span<const Observation> observations, const Zone& zone) {
    std::map<LocalDay, Gathered> gathered;
    for (const Observation& o : observations) {
        const auto span = o.ends - o.starts;
        if (span > std::chrono::hours(36)) continue;
        Gathered& g = gathered[zone.day_of(o.starts + span / 2)];
        if (span > std::chrono::hours(6)) add_day(g, o);
        else add_hour(g, o, double(span.count()) / 3600);
    }
    std::map<LocalDay, DayValues> days;
    for (const auto& [day, g] : gathered) days.emplace(day, whole(g));
    return days;
}

double error_of(Foreseen q, double forecast, double came) {
    if (std::isnan(forecast) || std::isnan(came)) return NAN;
    if (q == Foreseen::wind) return logarithm(std::max(forecast, least_wind_m_s) / std::max(came, least_wind_m_s));
    if (q == Foreseen::radiation) return logarithm(std::max(forecast, least_radiation_W_m2) / std::max(came, least_radiation_W_m2));
    return forecast - came;
}

double corrected(Foreseen q, double forecast, double error) {
    if (by_ratio(q)) return forecast * exponential(-error);
    if (q == Foreseen::humidity) return std::clamp(forecast - error, 1.0, 100.0);
    return forecast - error;
}

ForecastErrors learn(std::span<const Compared> compared, const Figures& f) {
    ForecastErrors learned;
    const double n0 = f[FigureKey::forecast_trust_days];
    std::array<std::vector<const Compared*>, leads> by_lead;
    for (const Compared& c : compared) by_lead[std::size_t(std::clamp(c.lead, 0, leads - 1))].push_back(&c);
    std::vector<double> errors;
    for (int lead = 0; lead < leads; ++lead) {
        const auto& of_lead = by_lead[std::size_t(lead)];
        for (std::size_t i = 0; i + 1 < foreseen_count; ++i) {
            errors.clear();
            for (const Compared* c : of_lead)
                if (const double e = error_of(Foreseen(i), c->forecast[i], c->came[i]); !std::isnan(e)) errors.push_back(e);
            learn_one(learned.of[i][std::size_t(lead)], errors, prior_sd(f, Foreseen(i), lead), n0);
        }
        learned.rain[std::size_t(lead)] = learn_rain(of_lead, lead, f);
    }
    return learned;
}

Span80 range_of(Foreseen q, double forecast, const LeadErrors& e) {
    const double z = normal_quantile(0.9);
    return {corrected(q, forecast, e.bias + z * e.sd), corrected(q, forecast, e.bias - z * e.sd)};
}

double RainBelief::chance_up_to(double mm) const {
    if (mm <= 0) return 1 - wet_chance;
    return 1 - wet_chance + wet_chance * normal_cdf((logarithm(mm) - ln_mm) / std::max(sd_ln, 1e-6));
}

double RainBelief::quantile(double p) const {
    if (p <= 1 - wet_chance || wet_chance <= 0) return 0;
    return exponential(ln_mm + sd_ln * normal_quantile((p - (1 - wet_chance)) / wet_chance));
}

RainBelief rain_belief(double forecast_mm, const RainErrors& e, double wet_from_mm) {
    if (forecast_mm >= wet_from_mm) return {1 - e.missed, logarithm(forecast_mm) + e.bias_ln, e.sd_ln};
    return {e.unforeseen, e.unforeseen_ln_mm, e.unforeseen_sd_ln};
}

}  // namespace tubgrove
