// What is coming, as JSON: forecasts, the days ahead, absences, comparisons.
#include "garden/json.hpp"
#include "garden/json_values.hpp"

#include <cmath>
#include <string>

namespace tubgrove {
namespace {

// demand_l, demand_low_l, demand_high_l
void write_range(JsonWriter& json, const std::string& name, const std::string& unit, const Range80& range) {
    json.number(name + "_" + unit, range.median);
    json.number(name + "_low_" + unit, range.low);
    json.number(name + "_high_" + unit, range.high);
}

// A range of hours after a moment as moments, with the zone's offset at each; what was not seen is null.
void write_moments(JsonWriter& json, const std::string& name, Instant from, const Range80& hours, const Zone& zone) {
    const auto at = [&](const char* part, double h) {
        instant_or_null(json, name + part, std::isfinite(h) ? std::optional(from + std::chrono::seconds(std::llround(h * 3600))) : std::nullopt, zone);
    };
    at("_at", hours.median);
    at("_low_at", hours.low);
    at("_high_at", hours.high);
}

void write_texts(JsonWriter& json, std::string_view key, const std::vector<std::string>& texts) {
    json.begin_array(key);
    for (const auto& text : texts) json.text({}, text);
    json.end_array();
}
template <class List, class Write>
void write_list(JsonWriter& json, std::string_view key, const List& list, Write write) {
    json.begin_array(key);
    for (const auto& item : list) {
        json.begin_object();
        write(item);
        json.end_object();
    }
    json.end_array();
}

struct QuantityName {
    const char *name, *unit;
};
QuantityName name_of(Foreseen q) {
    switch (q) {
    case Foreseen::warmest: return {"air_temperature:max", "K"};
    case Foreseen::coldest: return {"air_temperature:min", "K"};
    case Foreseen::dew_point: return {"dew_point_temperature:mean", "K"};
    case Foreseen::humidity: return {"relative_humidity:mean", "%"};
    case Foreseen::wind: return {"wind_speed:mean", "m s-1"};
    case Foreseen::radiation: return {"surface_downwelling_shortwave_flux_in_air:mean", "W m-2"};
    case Foreseen::rain: return {"precipitation_amount:sum", "mm"};
    default: return {"et0:sum", "mm"};
    }
}

void write_verified(JsonWriter& json, const Verified& v, QuantityName name) {
    json.text("quantity", name.name);
    json.text("unit", name.unit);
    json.integer("lead_days", v.lead);
    json.integer("compared", v.days);
    json.boolean("bias_is_share", v.quantity == Foreseen::wind || v.quantity == Foreseen::radiation);
    json.number_in("bias", v.bias, 2);
    json.number_in("miss", v.miss, 2);
    json.number_in("same_as_yesterday_miss", v.same_miss, 2);
    json.number_in("skill", v.skill, 2);
    json.number("held_share", v.held_share);
}

void write_stocks(JsonWriter& json, const std::vector<StockLine>& stocks) {
    write_list(json, "stocks", stocks, [&](const StockLine& stock) {
        json.text("tap", stock.tap);
        json.number("holds_l", stock.holds_l);
        write_range(json, "needed", "l", stock.needed_l);
        json.boolean("enough", stock.needed_l.high <= stock.holds_l);
        day_or_null(json, "lasts_until", stock.lasts_until);
        json.number("lacking_l", stock.lacking_l);
        text_or_null(json, "instead", stock.instead);
    });
}

void write_pours(JsonWriter& json, const std::vector<WalkPour>& pours) {
    write_list(json, "pours", pours, [&](const WalkPour& pour) {
        json.text("pot", pour.pot);
        json.text("label", pour.label);
        write_range(json, "pour", "l", pour.pour_l);
        json.number("most_l", pour.most_l);
        json.integer("passes", pour.passes);
        write_until(json, pour.until);
    });
}

void write_heat_pot(JsonWriter& json, const HeatPot& pot) {
    write_place(json, pot);
    write_range(json, "use", "l", pot.use_l);
    write_range(json, "lasts", "h", pot.lasts_h);
    json.number("lasts_surely_h", pot.lasts_surely_h);
    json.number("lasts_evening_surely_h", pot.lasts_evening_surely_h);
    json.text("kept", pot.kept);
    json.text("root_heat", pot.root_heat);
    write_list(json, "helps", pot.helps, [&](const Help& help) {
        json.text("what", help.what);
        json.text("bay", help.bay);
        json.number("saved_l", help.saved_l);
        json.number("gained_h", help.gained_h);
        json.text("kept", help.kept);
        json.text("text", help.text);
    });
    json.text("text", pot.text);
}

void write_walks(JsonWriter& json, std::string_view key, const std::vector<WalkOn>& walks) {
    write_list(json, key, walks, [&](const WalkOn& walk) {
        json.text("day", format_day(walk.day));
        json.text("walk", walk.walk);
    });
}

// A count without a unit, with its range.
void write_whole(JsonWriter& json, const std::string& key, const Range80& range) {
    json.integer(key, std::lround(range.median));
    json.integer(key + "_low", std::lround(range.low));
    json.integer(key + "_high", std::lround(range.high));
}

void write_season(JsonWriter& json, std::string_view key, const SeasonLine& line) {
    json.begin_object(key);
    write_range(json, "poured", "l", line.poured_l);
    write_range(json, "dry", "h", line.dry_h);
    write_range(json, "used", "l", line.used_l);
    write_whole(json, "walks", line.walks);
    json.end_object();
}

}  // namespace

std::string to_json(const ForecastsAnswer& answer, const Zone& zone) {
    JsonWriter json;
    json.begin_object();
    json.text("from", format_day(answer.from));
    json.text("to", format_day(answer.to));
    write_list(json, "sources", answer.sources, [&](const SourceVerified& source) {
        json.text("source", source.source);
        instant_or_null(json, "newest_issue", source.newest_issue, zone);
        json.boolean("stale", source.stale);
        write_list(json, "lines", source.lines, [&](const Verified& v) { write_verified(json, v, name_of(v.quantity)); });
    });
    write_list(json, "et0", answer.et0, [&](const Verified& v) { write_verified(json, v, name_of(v.quantity)); });
    json.end_object();
    return json.take();
}

std::string to_json(const HindcastAnswer& answer, const Zone&) {
    JsonWriter json;
    json.begin_object();
    json.text("from", format_day(answer.from));
    json.text("to", format_day(answer.to));
    json.begin_array("mornings");
    for (const auto day : answer.mornings) json.text({}, format_day(day));
    json.end_array();
    json.integer("pots", answer.pots);
    write_list(json, "demand", answer.demand, [&](const Verified& v) { write_verified(json, v, {"demand:sum", "L"}); });
    write_list(json, "dry", answer.dry, [&](const VerifiedChance& v) {
        json.integer("lead_days", v.lead);
        json.integer("compared", v.days);
        json.number("foreseen_share", v.foreseen_share);
        json.number("came_share", v.came_share);
        json.number_in("brier", v.brier, 3);
        json.number_in("same_as_yesterday_brier", v.same_brier, 3);
        json.number_in("skill", v.skill, 2);
    });
    write_texts(json, "remarks", answer.remarks);
    json.end_object();
    return json.take();
}

std::string to_json(const AheadAnswer& answer, const Zone& zone) {
    JsonWriter json;
    json.begin_object();
    json.text("from", format_day(answer.from));
    json.text("to", format_day(answer.to));
    json.text("weather_from", answer.weather_from);
    json.integer("members", answer.members);
    write_list(json, "days", answer.days, [&](const DayAheadLine& day) {
        json.text("day", format_day(day.day));
        json.text("from", day.from);
        write_range(json, "max", "degC", day.max_degC);
        write_range(json, "et0", "mm", day.et0_mm);
        write_range(json, "rain", "mm", day.rain_mm);
    });
    write_list(json, "walks", answer.walks, [&](const WalkAheadLine& walk) {
        json.text("day", format_day(walk.day));
        json.text("walk", walk.walk);
        json.text("at", format_rfc3339(walk.at, zone));
        json.boolean("listed", walk.listed);
        write_pours(json, walk.pours);
        write_range(json, "total", "l", walk.total_l);
        json.number("total_most_l", walk.total_most_l);
    });
    write_list(json, "pots", answer.pots, [&](const PotAheadLine& pot) {
        write_place(json, pot);
        instant_or_null(json, "dry_early_at", pot.dry_early_at, zone);
        instant_or_null(json, "dry_at", pot.dry_at, zone);
        instant_or_null(json, "dry_late_at", pot.dry_late_at, zone);
        write_range(json, "total", "l", pot.total_l);
        write_list(json, "days", pot.days, [&](const PotDayLine& day) {
            json.text("day", format_day(day.day));
            write_range(json, "demand", "l", day.demand_l);
            write_range(json, "rain", "l", day.rain_l);
            json.number("dry_share", day.dry_share);
            json.number("dry_planned_share", day.dry_planned_share);
        });
    });
    write_range(json, "total", "l", answer.total_l);
    write_stocks(json, answer.stocks);
    write_list(json, "heat", answer.heat, [&](const HeatAhead& heat) {
        json.text("first", format_day(heat.episode.first));
        json.text("last", format_day(heat.episode.last));
        json.text("hottest", format_day(heat.hottest));
        json.number("chance_share", heat.episode.chance);
        json.number("peak_degC", heat.episode.peak_degC);
        json.number("above_degC", heat.episode.above_degC);
        json.text("by", heat.episode.by);
        json.integer("days_in_a_row", heat.episode.days_in_a_row);
        json.text("text", heat.text);
        write_list(json, "pots", heat.pots, [&](const HeatPot& pot) { write_heat_pot(json, pot); });
    });
    write_texts(json, "cautions", answer.cautions);
    write_texts(json, "remarks", answer.remarks);
    json.end_object();
    return json.take();
}

std::string to_json(const AbsenceAnswer& answer, const Zone& zone) {
    JsonWriter json;
    json.begin_object();
    json.text("from", format_day(answer.from));
    json.text("to", format_day(answer.to));
    json.text("leaves", format_rfc3339(answer.leaves, zone));
    json.text("returns", format_rfc3339(answer.returns, zone));
    json.boolean("safe", answer.safe);
    write_list(json, "pots", answer.pots, [&](const AwayPot& pot) {
        write_place(json, pot);
        json.boolean("safe", pot.safe);
        json.boolean("kept", pot.kept);
        json.boolean("little_known", pot.little_known);
        json.text("chosen", pot.chosen);
        text_or_null(json, "to_bay", pot.to_bay);
        write_range(json, "fill", "l", pot.fill.pour_l);
        json.number("fill_most_l", pot.fill.most_l);
        json.integer("fill_passes", pot.fill.passes);
        instant_or_null(json, "checked_at", pot.checked_at, zone);
        instant_or_null(json, "harmed_at", pot.harmed_at, zone);
        write_list(json, "tried", pot.tried, [&](const Precaution& p) {
            json.text("what", p.what);
            text_or_null(json, "bay", p.bay);
            write_range(json, "checked", "h", p.checked_h);
            write_range(json, "harmed", "h", p.harmed_h);
            write_moments(json, "checked", answer.leaves, p.checked_h, zone);
            write_moments(json, "harmed", answer.leaves, p.harmed_h, zone);
            instant_or_null(json, "safe_until", p.safe_until, zone);
        });
    });
    write_list(json, "visits", answer.visits, [&](const AwayVisit& visit) {
        json.text("day", format_day(visit.day));
        json.text("walk", visit.walk);
        json.text("at", format_rfc3339(visit.at, zone));
        write_pours(json, visit.pours);
        json.number("total_l", visit.total_l);
    });
    if (answer.kept_visits) write_walks(json, "kept_visits", *answer.kept_visits);
    else json.null("kept_visits");
    write_stocks(json, answer.stocks);
    json.number("bring_l", answer.bring_l);
    json.boolean("safe_with_water", answer.safe_with_water);
    json.begin_array("sheet");
    for (const auto& line : answer.sheet) json.text({}, line.text());
    json.end_array();
    write_list(json, "sheet_lines", answer.sheet, [&](const SheetLine& line) {
        json.text("kind", line.kind);
        day_or_null(json, "from", line.from);
        day_or_null(json, "to", line.to);
        json.text("when", line.when);
        json.text("what", line.what);
        write_texts(json, "parts", line.parts);
    });
    write_texts(json, "cautions", answer.cautions);
    write_texts(json, "remarks", answer.remarks);
    json.end_object();
    return json.take();
}

std::string to_json(const VisitAnswer& answer, const Zone& zone) {
    JsonWriter json;
    json.begin_object();
    json.text("at", format_rfc3339(answer.at, zone));
    json.text("to", format_day(answer.to));
    json.text("returns", format_rfc3339(answer.returns, zone));
    day_or_null(json, "day", answer.day);
    text_or_null(json, "walk", answer.walk);
    json.boolean("due", answer.due);
    json.boolean("safe", answer.safe);
    json.begin_array("later");
    for (const auto day : answer.later) json.text({}, format_day(day));
    json.end_array();
    write_walks(json, "later_visits", answer.later_visits);
    write_list(json, "pours", answer.pours, [&](const VisitPour& pour) {
        write_place(json, pour);
        json.number("pour_l", pour.pour_l);
        json.integer("passes", pour.passes);
        write_until(json, pour.until);
        write_range(json, "need", "l", pour.need_l);
        json.number("list_l", pour.list_l.value_or(NAN));
    });
    write_list(json, "rests", answer.rests, [&](const VisitRest& rest) {
        json.text("pot", rest.pot);
        json.text("label", rest.label);
    });
    write_trips(json, answer.trips);
    json.number("total_l", answer.total_l);
    write_texts(json, "cautions", answer.cautions);
    write_texts(json, "remarks", answer.remarks);
    json.end_object();
    return json.take();
}

std::string to_json(const CompareAnswer& answer, const Zone&) {
    JsonWriter json;
    json.begin_object();
    json.text("pot", answer.pot);
    write_texts(json, "changes", answer.changes);
    write_list(json, "seasons", answer.seasons, [&](const SeasonCompared& season) {
        json.text("season", season.season);
        json.text("from", format_day(season.from));
        json.text("to", format_day(season.to));
        write_season(json, "without", season.without);
        write_season(json, "with", season.with);
        write_range(json, "difference", "l", season.litres);
        write_range(json, "difference_dry", "h", season.dry_h);
        write_whole(json, "difference_walks", season.walks);
        json.boolean("worth_having", season.worth_having);
        json.text("text", season.text);
    });
    write_texts(json, "remarks", answer.remarks);
    json.end_object();
    return json.take();
}

}  // namespace tubgrove
