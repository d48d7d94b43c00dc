#include "ahead/spread.hpp"

#include "climate/radiation.hpp"
#include "climate/sun.hpp"
#include "ensemble/points.hpp"
#include "pot/exponential.hpp"

#include <algorithm>
#include <numeric>

namespace tubgrove {
namespace {

constexpr std::uint64_t seed_of(Foreseen q) { return 0x61686561ULL * 31 + std::uint64_t(q); }   // any constant

// What one member makes of one day.
struct DayShift {
    double warmest = 0, coldest = 0, dew = 0;  // errors to be taken off
    double humidity = 0, wind = 0, radiation = 0;
    double rain_mm = NAN;                      // of the whole day; NaN: as forecast
    DayValues said = no_values;
    double clear_W_m2 = 1e9;
};

double clear_sky_W_m2(const SpreadPlace& place, LocalDay day) {
    const Radiation ra = extraterrestrial_day(Degrees(place.latitude_deg), day_of_year(day));
    return MJ_per_m2(clear_sky(ra, Metres(place.elevation_m))) / 0.0864;
}

class Turner {
public:
    Turner(std::span<const Observation> forecast, Instant issued, const ForecastErrors& errors, const Figures& figures,
           const SpreadPlace& place, int member, int beside)
        : errors_(errors), figures_(figures), place_(place), member_(member), issued_day_(place.zone.day_of(issued)) {
        const auto days = days_of(forecast, place.zone);
        int furthest = 0;
        for (const auto& [day, values] : days) furthest = std::max(furthest, int((day - issued_day_).count()));
        for (std::size_t q = 0; q < foreseen_count; ++q)
            scores_[q] = member_scores(Foreseen(q), furthest + 1, beside + 1, figures[FigureKey::forecast_persistence]);
        for (const auto& [day, values] : days) shifts_[day] = shift_of(day, values);
    }

    Observation turned(Observation o) const {
        const LocalDay day = place_.zone.day_of(o.starts + (o.ends - o.starts) / 2);
        const auto found = shifts_.find(day);
        if (found == shifts_.end() || o.ends <= place_.zone.start_of(issued_day_)) return o;
        const DayShift& s = found->second;
        turn_temperatures(o, s);
        if (o.has(Channel::dew_point_temperature_mean)) {
            o[Channel::dew_point_temperature_mean] -= s.dew;
            // Dew never lies above the air that it is measured in.
            const double air = o.has(Channel::air_temperature_mean) ? o[Channel::air_temperature_mean] : o[Channel::air_temperature_max];
            if (!std::isnan(air)) o[Channel::dew_point_temperature_mean] = std::min(o[Channel::dew_point_temperature_mean], air);
        }
        for (Channel c : {Channel::relative_humidity_mean, Channel::relative_humidity_max, Channel::relative_humidity_min})
            if (o.has(c)) o[c] = std::clamp(o[c] - s.humidity, 1.0, 100.0);
        for (Channel c : {Channel::wind_speed_mean, Channel::wind_speed_of_gust_max})
            if (o.has(c)) o[c] *= exponential(-s.wind);
        turn_light(o, s);
        turn_rain(o, s, day);
        return o;
    }

private:
    double score(Foreseen q, int lead) const { return scores_[std::size_t(q)][std::size_t(std::max(lead, 0))][std::size_t(member_)]; }

    DayShift shift_of(LocalDay day, const DayValues& said) const {
        const int lead = int((day - issued_day_).count());
        const auto error = [&](Foreseen q) { return errors_.at(q, lead).bias - score(q, lead) * errors_.at(q, lead).sd; };
        DayShift s{.warmest = error(Foreseen::warmest), .coldest = error(Foreseen::coldest), .dew = error(Foreseen::dew_point),
                   .humidity = error(Foreseen::humidity), .wind = error(Foreseen::wind), .radiation = error(Foreseen::radiation),
                   .rain_mm = NAN, .said = said, .clear_W_m2 = clear_sky_W_m2(place_, day)};
        const double rain = said[std::size_t(Foreseen::rain)];
        // The middle member keeps the rain that was forecast: it is what a list shows.
        if (member_ > 0 && !std::isnan(rain)) {
            const RainBelief belief = rain_belief(rain, errors_.rain_at(lead), figures_[FigureKey::rain_wet_mm]);
            s.rain_mm = belief.quantile(normal_cdf(score(Foreseen::rain, lead)));
        }
        return s;
    }

    // Between the day's extremes the error goes over from one to the other, so that hours stay in order.
    void turn_temperatures(Observation& o, const DayShift& s) const {
        const double high = s.said[std::size_t(Foreseen::warmest)], low = s.said[std::size_t(Foreseen::coldest)];
        const auto off = [&](double t) {
            if (!(high > low)) return (s.warmest + s.coldest) / 2;
            const double share = std::clamp((t - low) / (high - low), 0.0, 1.0);
            // Extremes that would change places meet in the middle instead.
            const double range = high - low - s.warmest + s.coldest;
            const double lift = range < 0.5 ? (0.5 - range) / 2 : 0;
            return (s.coldest + lift) + ((s.warmest - lift) - (s.coldest + lift)) * share;
        };
        for (Channel c : {Channel::air_temperature_mean, Channel::air_temperature_max, Channel::air_temperature_min})
            if (o.has(c)) o[c] -= off(o[c]);
    }

    void turn_light(Observation& o, const DayShift& s) const {
        double factor = exponential(-s.radiation);
        const double said = s.said[std::size_t(Foreseen::radiation)];
        if (said > 0) factor = std::min(factor, std::max(1.0, s.clear_W_m2 / said));
        if (o.has(Channel::surface_downwelling_shortwave_flux_in_air_mean)) o[Channel::surface_downwelling_shortwave_flux_in_air_mean] *= factor;
        if (o.has(Channel::duration_of_sunshine_sum)) {
            const double length_h = double((o.ends - o.starts).count()) / 3600;
            o[Channel::duration_of_sunshine_sum] = std::min(o[Channel::duration_of_sunshine_sum] * factor, length_h < 6 ? length_h : 0.6 * length_h);
        }
    }

    // A day's rain keeps the hours that were forecast; out of a dry forecast it falls at 15 h, as a day's block does elsewhere.
    void turn_rain(Observation& o, const DayShift& s, LocalDay day) const {
        if (std::isnan(s.rain_mm) || !o.has(Channel::precipitation_amount_sum)) return;
        const double said = s.said[std::size_t(Foreseen::rain)];
        if (said > 0 && s.rain_mm > 0 && said >= figures_[FigureKey::rain_wet_mm]) {
            o[Channel::precipitation_amount_sum] *= s.rain_mm / said;
            return;
        }
        const Instant block = place_.zone.at(LocalTime(day) + std::chrono::hours(15));
        const bool here = (o.starts <= block && block < o.ends);
        o[Channel::precipitation_amount_sum] = here ? s.rain_mm : 0;
    }

    const ForecastErrors& errors_;
    const Figures& figures_;
    const SpreadPlace& place_;
    int member_;
    LocalDay issued_day_;
    std::array<std::vector<std::vector<double>>, foreseen_count> scores_;
    std::map<LocalDay, DayShift> shifts_;
};

}  // namespace

std::vector<std::vector<double>> member_scores(Foreseen q, int days, int members, double persistence) {
    const int n = members - 1;                 // beside the middle one
    const double fresh = std::sqrt(1 - persistence * persistence);
    std::vector<double> even, latent(std::size_t(std::max(n, 0)), 0.0);
    for (int i = 0; i < members; ++i)
        if (i != n / 2) even.push_back(normal_quantile((i + 0.5) / members));
    std::vector<std::vector<double>> rows;
    for (int day = 0; day < days; ++day) {
        const auto order = scattered_order(splitmix64(seed_of(q) + std::uint64_t(day)), latent.size());
        std::vector<double> drawn(latent.size());
        for (std::size_t i = 0; i < latent.size(); ++i) drawn[std::size_t(order[i])] = even[i];
        for (std::size_t i = 0; i < latent.size(); ++i)
            latent[i] = day == 0 ? drawn[i] : persistence * latent[i] + fresh * drawn[i];
        std::vector<std::size_t> rank(latent.size());
        std::iota(rank.begin(), rank.end(), std::size_t(0));
        std::stable_sort(rank.begin(), rank.end(), [&](std::size_t a, std::size_t b) { return latent[a] < latent[b]; });
        std::vector<double> row(std::size_t(members), 0.0);
        for (std::size_t i = 0; i < rank.size(); ++i) row[rank[i] + 1] = even[i];
        rows.push_back(std::move(row));
    }
    return rows;
}

std::vector<Observation> member_of_forecast(std::span<const Observation> forecast, Instant issued, const ForecastErrors& errors,
                                            const Figures& figures, const SpreadPlace& place, int member, std::optional<int> beside) {
    const Turner turn(forecast, issued, errors, figures, place, member, beside.value_or(int(figures[FigureKey::forecast_members])));
    std::vector<Observation> turned;
    turned.reserve(forecast.size());
    for (const Observation& o : forecast) turned.push_back(turn.turned(o));
    return turned;
}

}  // namespace tubgrove
