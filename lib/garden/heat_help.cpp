#include "garden/heat_help.hpp"

#include "plan/beliefs.hpp"
#include "plan/plain_text.hpp"
#include "pot/geometry.hpp"

#include <algorithm>
#include <cmath>
#include <span>

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

double hours_between(Instant a, Instant b) { return double((b - a).count()) / 3600; }

// The hottest day of one pot that is filled at each walk, from the evening before on where that is still to come.
struct Hottest {
    Range80 use_l, lasts_h;                  // from the morning's filling
    double surely_h = 0, evening_surely_h = 0;
    std::string kept;
};
Hottest hottest(const Outlook& fine, const Outlook::Run& eve, const HottestDay& day, const Pouring& pouring) {
    const Outlook outlook = fine.coarser(3, fine.until());
    Outlook::Run run = outlook.take_up(eve);
    const auto fill = [&] { outlook.pour(run, filling(outlook, run, pouring)); };
    if (day.filled < day.walk) fill(), outlook.run(run, day.walk);
    Hottest t;
    t.use_l = use_l(outlook, run, day.next_walk);
    fill();
    const FilledLasts morning = filled_lasts(outlook, run, pouring);
    t.lasts_h = range80(morning.after_h, outlook.ensemble().weights);
    outlook.run(run, day.evening);
    fill();
    const FilledLasts evening = filled_lasts(outlook, run, pouring);
    t.surely_h = morning.surely_h, t.evening_surely_h = evening.surely_h;
    const auto twice = std::max(morning.through(hours_between(day.walk, day.evening)), evening.through(hours_between(day.evening, day.next_walk)));
    t.kept = morning.through(hours_between(day.walk, day.next_walk)) == Through::surely ? "one-filling"
             : twice == Through::surely                                                    ? "two-walks"
             : twice == Through::perhaps                                                   ? "perhaps-two-walks"
                                                                                           : "not-by-hand";
    return t;
}

bool hot(const std::string& ground) { return ground == "paving" || ground == "decking" || ground == "gravel"; }

RootPlace root_place(const PotSetup& setup, const Tables& tables) {
    return {.wall = setup.container.wall, .colour = setup.container.colour, .light_share = share_of(tables, "light", setup.exposure.light),
            .hot_ground = hot(setup.exposure.ground)};
}

// "lasts about 20 hours, 9 for certain"
std::string lasts_said(const Hottest& t) {
    const auto said = [](double h) { return std::isfinite(h) ? hours_text(h) : std::string("longer than can be seen"); };
    return "about " + said(t.lasts_h.median) + ", surely only " + said(t.surely_h);
}

std::string kept_with_help(const std::string& kept) {
    return kept == "one-filling"         ? "it then gets through that day on one filling"
           : kept == "two-walks"         ? "a second walk then keeps it"
           : kept == "perhaps-two-walks" ? "a second walk may then keep it"
                                         : "";
}
std::string kept_said(const std::string& kept) {
    return kept == "two-walks"           ? "a second walk in the evening keeps it"
           : kept == "perhaps-two-walks" ? "a second walk may not be enough"
                                         : "a second walk is hardly enough";
}

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
        // What is worse for the roots is no help, however long a filling lasts there.
        if (worse_for_roots(root_place(setup, inside.tables), root_place(to, inside.tables))) continue;
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

namespace {

bool of_place(const std::string& what) { return what == "shade" || what == "move" || what == "group"; }

// The best change of place together with the best one of the pot itself.
std::optional<Change> best_pair(std::span<const Change> changes, std::span<const Help> best_first) {
    const auto best = [&](bool place) -> const Change* {
        const auto help = std::ranges::find_if(best_first, [&](const Help& h) { return of_place(h.what) == place; });
        if (help == best_first.end()) return nullptr;
        const auto change = std::ranges::find_if(changes, [&](const Change& c) { return c.what == help->what && c.bay == help->bay; });
        return change == changes.end() ? nullptr : &*change;
    };
    const Change *place = best(true), *in_pot = best(false);
    if (!place || !in_pot) return std::nullopt;
    Change both{.what = place->what + "-and-" + in_pot->what, .bay = place->bay, .words = place->words + ", and " + in_pot->words, .setup = place->setup};
    both.setup.container.saucer = in_pot->setup.container.saucer;
    both.setup.mulch = in_pot->setup.mulch;
    return both;
}

}  // namespace

HeatPot heat_of(const Garden::Inside& inside, const PotNow& pot, const HottestDay& day, Instant until) {
    const auto& setup = pot.setup();
    const auto pouring = pouring_of(inside.configuration, inside.tables.figures);
    const auto ahead = days_ahead(pot, inside.zone);
    const Outlook as_is(pot.ensemble, pot.belief(), inside.tables.priors, inside.zone, ahead, until);
    Outlook::Run eve = as_is.start();
    as_is.run(eve, day.filled);
    const Hottest now = hottest(as_is, eve, day, pouring);

    HeatPot line{.pot = pot.life->id, .label = setup.label, .bay = setup.exposure.bay, .use_l = now.use_l, .lasts_h = now.lasts_h,
                 .lasts_surely_h = now.surely_h, .lasts_evening_surely_h = now.evening_surely_h, .kept = now.kept,
                 .root_heat = std::string(name_of(root_heat_risk(root_place(setup, inside.tables)))), .helps = {}, .text = {}};
    if (line.kept == "one-filling") return line;

    const auto weigh = [&](const Change& change) {
        const auto there = otherwise(pot, change.setup, inside.tables, inside.zone);
        if (!there) return;
        const auto outlook = there->outlook(pot, inside.tables.priors, inside.zone, until);
        const Hottest then = hottest(outlook, eve, day, pouring);
        const double longest_h = hours_between(day.walk, until);
        const auto lasts = [&](double h) { return std::min(h, longest_h); };
        Help help{.what = change.what, .bay = change.bay, .saved_l = now.use_l.median - then.use_l.median,
                  .gained_h = lasts(then.surely_h) - lasts(now.surely_h), .kept = then.kept, .text = {}};
        if (help.gained_h < 0.5) return;         // no hour gained is no help
        help.text = change.words + ": " + hours_text(help.gained_h) + " longer from a filling";
        if (help.saved_l >= 0.1) help.text += ", " + litres_text(std::round(10 * help.saved_l) / 10) + " less on that day";
        if (const auto then_kept = kept_with_help(then.kept); then.kept != now.kept && !then_kept.empty()) help.text += "; " + then_kept;
        line.helps.push_back(std::move(help));
    };
    const auto changes = changes_that_help(setup, inside);
    for (const Change& change : changes) weigh(change);
    const auto keeps = [](const Help& help) { return help.kept == "one-filling" || help.kept == "two-walks"; };
    const auto best_first = [&] { std::ranges::stable_sort(line.helps, [](const Help& a, const Help& b) { return a.gained_h > b.gained_h; }); };
    best_first();
    if (std::ranges::none_of(line.helps, keeps)) {
        if (const auto pair = best_pair(changes, line.helps)) weigh(*pair), best_first();
    }
    const std::string name = line.label.empty() ? line.pot : line.label;
    line.text = "pot " + name + ": filled in the morning it lasts " + lasts_said(now) + "; " + kept_said(now.kept);
    if (now.kept != "two-walks" && std::ranges::none_of(line.helps, keeps)) line.text += "; nothing that was worked out surely keeps it: think of a larger pot or a drip line";
    return line;
}

}  // namespace tubgrove
