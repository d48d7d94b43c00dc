#include "garden/heat_help.hpp"

#include "plan/beliefs.hpp"
#include "plan/plain_text.hpp"
#include "pot/geometry.hpp"

#include <algorithm>
#include <cmath>

namespace tubgrove {
namespace {

double share_of(const Tables& tables, std::string_view about, const std::string& word) {
    if (const auto stated = stated_share(word)) return *stated;
    const auto* row = tables.word(about, word);
    return row ? row->middle : 1.0;
}

std::string percent(double share) { return plain(100 * share, 0) + " %"; }

double brim_l(const PotSetup& setup) {
    const auto vessel = vessel_of(setup.container);
    const auto* possible = std::get_if<Vessel>(&vessel);
    return possible ? litres(volume(possible->brim)) : 0;
}

struct Through {
    Range80 use_l, lasts_h, lasts_twice_h;
};

// Filled on the evening before; twice: again on the morning.
Through through(const Outlook& fine, const Outlook::Run& eve, const HottestDay& day, const Pouring& pouring) {
    const Weights& w = fine.ensemble().weights;
    const Outlook outlook = fine.coarser(3, fine.until());
    Outlook::Run run = outlook.take_up(eve);
    outlook.pour(run, filling(outlook, run, pouring));
    Through t;
    t.lasts_h = range80(outlook.dry_after_h(run), w);
    outlook.run(run, day.walk);
    t.use_l = use_l(outlook, run, day.next_walk);
    outlook.pour(run, filling(outlook, run, pouring));
    t.lasts_twice_h = range80(outlook.dry_after_h(run), w);
    return t;
}

double hours_between(Instant a, Instant b) { return double((b - a).count()) / 3600; }

}  // namespace

std::vector<Change> changes_that_help(const PotSetup& setup, const Garden::Inside& inside) {
    const auto& f = inside.tables.figures;
    std::vector<Change> changes;
    const auto add = [&](std::string what, std::string bay, std::string words, PotSetup to) {
        changes.push_back({std::move(what), std::move(bay), std::move(words), std::move(to)});
    };
    const double light = share_of(inside.tables, "light", setup.exposure.light);
    if (light > share_of(inside.tables, "light", "shade") + 0.05) {
        PotSetup to = setup;
        to.exposure.light = "shade";
        add("shade", "", "shade over it", std::move(to));
    }
    for (const auto& bay : inside.configuration.bays) {
        if (bay.id == setup.exposure.bay) continue;
        PotSetup to = setup;
        to.exposure = {.bay = setup.exposure.bay, .light = bay.light, .shelter = bay.shelter, .rain = bay.rain, .place = bay.place, .ground = bay.ground};
        add("move", bay.id, "in the bay " + bay.id, std::move(to));
    }
    PotSetup grouped = setup;
    grouped.exposure.shelter = percent(share_of(inside.tables, "shelter", setup.exposure.shelter) * f[FigureKey::group_wind_share]);
    add("group", "", "close among other pots", std::move(grouped));
    if (!setup.container.saucer || litres(*setup.container.saucer) <= 0) {
        PotSetup to = setup;
        to.container.saucer = Litres(brim_l(setup) * f[FigureKey::saucer_share]);
        add("saucer", "", "with a saucer of " + litres_text(litres(*to.container.saucer)), std::move(to));
    }
    if (!setup.mulch || cm(setup.mulch->depth) < 1 || setup.mulch->cover < 0.5) {
        PotSetup to = setup;
        to.mulch = Mulch{.depth = Centimetres(f[FigureKey::mulch_cm]), .cover = 1};
        add("mulch", "", "under " + plain(f[FigureKey::mulch_cm], 0) + " cm of mulch", std::move(to));
    }
    return changes;
}

HeatPot heat_of(const Garden::Inside& inside, const PotNow& pot, const HottestDay& day, Instant until) {
    const auto& setup = pot.setup();
    const auto pouring = pouring_of(inside.configuration, inside.tables.figures);
    const auto ahead = days_ahead(pot, inside.zone);
    const Outlook as_is(pot.ensemble, pot.belief(), inside.tables.priors, inside.zone, ahead, until);
    Outlook::Run eve = as_is.start();
    as_is.run(eve, day.filled);
    const Through now = through(as_is, eve, day, pouring);

    const Colour colour = setup.container.colour;
    const auto& ground = setup.exposure.ground;
    HeatPot line{.pot = pot.life->id, .label = setup.label, .bay = setup.exposure.bay, .use_l = now.use_l, .lasts_h = now.lasts_h, .kept = {},
                 .root_heat = std::string(name_of(root_heat_risk({.wall = setup.container.wall, .colour = colour,
                                                                   .light_share = share_of(inside.tables, "light", setup.exposure.light),
                                                                   .hot_ground = ground == "paving" || ground == "decking" || ground == "gravel"}))),
                 .helps = {}, .text = {}};
    // From the evening before to the walk after the hottest day; with a morning and an evening walk from one to the other.
    const double one_filling_h = hours_between(day.filled, day.next_walk), half_day_h = hours_between(day.walk, day.evening);
    line.kept = now.lasts_h.low >= one_filling_h ? "one-filling" : now.lasts_twice_h.low >= half_day_h ? "two-walks" : "not-by-hand";
    if (line.kept == "one-filling") return line;

    for (const Change& change : changes_that_help(setup, inside)) {
        const auto there = otherwise(pot, change.setup, inside.tables, inside.zone);
        if (!there) continue;
        const auto outlook = there->outlook(pot, inside.tables.priors, inside.zone, until);
        const Through then = through(outlook, eve, day, pouring);
        const double longest_h = hours_between(day.filled, until);
        const auto lasts = [&](double h) { return std::min(h, longest_h); };
        Help help{.what = change.what, .bay = change.bay, .saved_l = now.use_l.median - then.use_l.median,
                  .gained_h = lasts(then.lasts_h.median) - lasts(now.lasts_h.median), .text = {}};
        if (help.gained_h < 0.5) continue;       // no hour gained is no help
        help.text = change.words + ": " + hours_text(help.gained_h) + " longer from a filling";
        if (help.saved_l >= 0.1) help.text += ", " + litres_text(std::round(10 * help.saved_l) / 10) + " less on that day";
        line.helps.push_back(std::move(help));
    }
    std::ranges::stable_sort(line.helps, [](const Help& a, const Help& b) { return a.gained_h > b.gained_h; });
    const std::string name = line.label.empty() ? line.pot : line.label;
    line.text = line.kept == "two-walks" ? "pot " + name + ": one filling lasts about " + hours_text(now.lasts_h.median) + "; a second walk on the evening keeps it"
                                         : "pot " + name + ": one filling lasts about " + hours_text(now.lasts_h.median) + ", and a second walk may not be enough";
    return line;
}

}  // namespace tubgrove
