// The interview, what it shows before anything is written, and the writing.
#include "draw_answers.hpp"
#include "phrases.hpp"
#include "run.hpp"
#include "safe_file.hpp"
#include "setup.hpp"

#include "intake/read_configuration.hpp"
#include "intake/tables.hpp"

#include <iostream>

namespace tubgrove {
namespace {

struct Agreed {
    FirstGarden garden;
    bool write = false;
};

void show_all(Interview& interview, const FirstGarden& garden, const Places& places, Page page) {
    interview.say("This would be the configuration, " + places.configuration.string() + ":");
    interview.show(configuration_text(garden.configuration));
    interview.say(garden.pots.empty() ? "No pots yet." : "And these the first pots:");
    Drawing pots(page);
    for (const FirstPot& pot : garden.pots)
        pots.paragraph({2, 4}, pot.id + ": " + pot.species + (pot.stock == "unknown" ? "" : ", " + pot.stock) + ", " +
                                   pot.size + ", " + pot.bay + ", planted " + pot.planted + ", in this pot since " + pot.since);
    interview.show(pots.text());
}

Agreed whole_interview(Interview& interview, const Places& places, const SetupGiven& given, Page page) {
    Agreed agreed;
    if (std::filesystem::exists(places.configuration) &&
        !interview.yes(
            places.configuration.string() + " is there already. Put another one in its place?", false,
            "The present one would be kept beside it, with .old at its end. Pots in the daybook stay as they are."))
        return agreed;
    agreed.garden = ask_for_garden(interview, given);
    show_all(interview, agreed.garden, places, page);
    agreed.write =
        interview.yes("Write it?", true, "yes writes it, no ends without writing, back returns to the questions.");
    return agreed;
}

void keep_old(const std::filesystem::path& file) {
    if (std::filesystem::exists(file)) write_whole(file.string() + ".old", read_whole(file));
}

// The garden's zone is not known yet: the machine's, or what --at says.
LocalDay today(const Asked& asked, const Zone& zone) {
    const std::string at = asked.value("--at");
    if (const auto day = parse_day(at)) return *day;
    return zone.day_of(parse_rfc3339(at).value_or(clock_now()));
}

// The pots go in with one write. Should the store fail, what was typed is not lost.
ChangesAnswer take_pots(const Places& places, const Asked& asked, const std::string& pots, const Face& face) {
    try {
        auto opened = open_garden(places);
        const auto outcome = opened.garden->pot_take(view_of(asked, *opened.garden), "first pots", pots, true);
        if (const auto* refusal = std::get_if<Refusal>(&outcome)) refuse(refusal->what, refusal->right);
        const auto& answer = std::get<ChangesAnswer>(outcome);
        if (!answer.complaints.empty()) throw Refused{answer.complaints};
        return answer;
    } catch (...) {
        const auto file = places.configuration.parent_path() / "first-pots.yaml";
        write_whole(file, pots);
        talk(face.err, "the pots could not be taken in; they are kept in " + file.string() +
                           ", and `tubgrove pot take` takes them once that is mended");
        throw;
    }
}

}  // namespace

ExitStatus run_setup(const Places& places, const Asked& asked, const Face& face) {
    const auto tables = read_tables();
    SetupGiven given{.machine_zone = zone_of_machine(), .today = {}, .zone_off_sun_h = tables.value.priors.fixed(PriorKey::zone_off_sun_h), .names = names_of(tables.value)};
    given.today = today(asked, Zone::find(given.machine_zone).value_or(Zone::utc()));
    // Under --json the questions are talk, and the answer is what was written.
    std::ostream& talked = face.json ? face.err : face.out;
    Interview interview(std::cin, talked, face.page);
    const auto agreed =
        interview.run<Agreed>([&](Interview& asking) { return whole_interview(asking, places, given, face.page); });
    if (!agreed.write) {
        talked << "Nothing was written.\n";
        if (face.json) show_files(face, {});
        return ExitStatus::done;
    }
    const std::string text = configuration_text(agreed.garden.configuration);
    if (const auto read = read_configuration("configuration", text); !read.ok()) {
        Refused refused;
        for (const auto& complaint : read.complaints) refused.lines.push_back(format(complaint));
        throw refused;
    }
    const std::string pots = garden_text(agreed.garden, given.names);
    keep_old(places.configuration);
    write_whole(places.configuration, text);
    talked << "Written: " << places.configuration.string() << '\n';
    ChangesAnswer taken;
    if (!agreed.garden.pots.empty()) taken = take_pots(places, asked, pots, face);
    if (face.json) {
        show_files(face, {.files = {{.code = "configuration", .file = places.configuration.string(), .text = "Written"}},
                          .changes = taken.changes});
        return ExitStatus::done;
    }
    if (!agreed.garden.pots.empty()) face.out << draw_changes(taken, "", face.page);
    Drawing next(face.page);
    next.blank();
    next.paragraph({0, 2}, "Next: `tubgrove weather note max=31degC min=17degC` (or `tubgrove weather add FILE`), then `tubgrove`.");
    face.out << next.text();
    return ExitStatus::done;
}

}  // namespace tubgrove
