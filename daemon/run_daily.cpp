// The commands of each day: the list, what was done, and why.
#include "draw_answers.hpp"
#include "draw_round.hpp"
#include "run.hpp"

#include "intake/quantity.hpp"

namespace tubgrove {
namespace {

std::string walk_option(const Asked& asked) {
    const std::string walk = asked.value("--walk");
    if (asked.has("--walk") && walk != "morning" && walk != "evening")
        refuse(tubgrove::quoted(walk) + " is no walk", "morning or evening");
    return walk;
}

Outcome<RoundAnswer> asked_round(Opened& opened, const Asked& asked, const View& view) {
    const auto day = day_option(asked, "--day", {view.now, opened.garden->zone()});
    View showing = view;
    showing.shown_unkept = true;
    return opened.garden->round(showing, day, walk_option(asked));
}

ExitStatus did(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    const Zone& zone = opened.garden->zone();
    const Garden::DidOptions options{.when = time_option(asked, "--when", {view.now, zone}),
                                     .by = asked.value("--by"),
                                     .note = asked.value("--note"),
                                     .round = asked.value("--round")};
    return show(face, opened.garden->did(view, asked.arguments, options), zone,
                [&](const EntriesAnswer& answer) { return draw_entries(answer, zone, face.page); });
}

ExitStatus strike(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    const Zone& zone = opened.garden->zone();
    const auto id = parse_count(asked.arguments[0], 1, 1'000'000'000'000);
    if (good(id) == nullptr)
        refuse(tubgrove::quoted(asked.arguments[0]) + " is no entry's number",
               "tubgrove daybook shows each entry's number");
    return show(face, opened.garden->strike(view, *good(id), asked.value("--note")), zone,
                [&](const EntriesAnswer& answer) { return draw_entries(answer, zone, face.page); });
}

ExitStatus daybook(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    const Zone& zone = opened.garden->zone();
    const Seen seen{view.now, zone};
    return show(face,
                opened.garden->daybook(view, asked.value("--pot"), day_option(asked, "--from", seen),
                                       day_option(asked, "--to", seen)),
                zone, [&](const DaybookAnswer& answer) { return draw_daybook(answer, zone, face.page); });
}

}  // namespace

ExitStatus run_daily(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    const Zone& zone = opened.garden->zone();
    switch (asked.command->does) {
        case Does::round:
            return show(face, asked_round(opened, asked, view), zone,
                        [&](const RoundAnswer& answer) { return draw_round(answer, zone, face.page); });
        case Does::sheet:
            return show(face, asked_round(opened, asked, view), zone,
                        [&](const RoundAnswer& answer) { return draw_sheet(answer.round, zone); });
        case Does::why:
            return show(face,
                        opened.garden->why(view, asked.arguments[0], day_option(asked, "--day", {view.now, zone})),
                        zone, [&](const WhyAnswer& answer) { return draw_why(answer, zone, face.page); });
        case Does::water:
            return show(face,
                        opened.garden->water(view, asked.arguments[0], day_option(asked, "--from", {view.now, zone}),
                                             day_option(asked, "--to", {view.now, zone})),
                        zone, [&](const WaterAnswer& answer) { return draw_water(answer, zone, face.page); });
        case Does::clock_confirm:
            return show(face, opened.garden->clock_confirm(view), zone,
                        [&](const EntriesAnswer& answer) { return draw_entries(answer, zone, face.page); });
        case Does::did:
            return did(opened, asked, view, face);
        case Does::strike:
            return strike(opened, asked, view, face);
        default:
            return daybook(opened, asked, view, face);
    }
}

}  // namespace tubgrove
