#include "run.hpp"

#include "completion.hpp"
#include "help.hpp"
#include "intake/tables.hpp"
#include "safe_file.hpp"

#include <sstream>
#include <fmt/format.h>

#include <ostream>
#include <system_error>

namespace tubgrove {
namespace {

ExitStatus help(const Asked& asked, const Face& face) {
    if (asked.arguments.empty()) {
        face.out << draw_overview(face.page);
        return ExitStatus::done;
    }
    std::string words = asked.arguments[0];
    for (std::size_t i = 1; i < asked.arguments.size(); ++i) words += " " + asked.arguments[i];
    if (const Command* command = find_command(words)) {
        face.out << draw_help(*command, face.page);
        return ExitStatus::done;
    }
    for (const Command& command : commands())
        if (command.words.starts_with(words + " ")) {
            face.out << draw_family(words, face.page);
            return ExitStatus::done;
        }
    std::vector<std::string> known;
    for (const Command& command : commands())
        if (!command.group.empty()) known.emplace_back(command.words);
    const std::string near = nearest(words, known);
    refuse("there is no command " + tubgrove::quoted(words),
           near.empty() ? "tubgrove help lists them" : "perhaps tubgrove help " + near);
}

ExitStatus version(const Face& face) {
    if (face.json)
        face.out << fmt::format("{{\"version\":\"{}\",\"model\":\"{}\"}}\n", TUBGROVE_VERSION, model_version);
    else
        face.out << fmt::format("tubgrove {}, model {}\n", TUBGROVE_VERSION, model_version);
    return ExitStatus::done;
}

ExitStatus completion(const Asked& asked, const Face& face) {
    const auto script = completion_script(asked.arguments[0]);
    if (script.empty()) refuse("no completion for " + tubgrove::quoted(asked.arguments[0]), "bash, zsh or fish");
    face.out << script;
    return ExitStatus::done;
}

// Whatever goes wrong here is nobody's business at a prompt: no candidates, no words.
template <class Names>
std::vector<std::string> quietly(const Places& places, Names&& names) {
    try {
        std::error_code none;
        if (!std::filesystem::exists(places.data, none)) return {};
        const Opened opened = open_garden(places);
        return names(*opened.garden);
    } catch (...) {
        return {};
    }
}

ExitStatus completed(const Asked& asked, const Places& places, const Face& face) {
    KnownNames known;
    known.pots = [&] { return quietly(places, [](Garden& garden) { return garden.pot_ids({.now = clock_now()}); }); };
    known.jobs = [&] {
        return quietly(places, [](Garden& garden) {
            std::vector<std::string> ids;
            const auto outcome = garden.jobs({.now = clock_now()});
            if (const auto* answer = std::get_if<JobsAnswer>(&outcome))
                for (const Job& job : answer->jobs)
                    if (job.state <= JobState::waiting) ids.push_back(job.id);
            return ids;
        });
    };
    known.bays = [&] {
        return quietly(places, [](Garden& garden) {
            std::vector<std::string> bays;
            for (const Bay& bay : garden.configuration().bays) bays.push_back(bay.id);
            return bays;
        });
    };
    known.mappings = [&] {
        return quietly(places, [](Garden& garden) {
            std::vector<std::string> mappings;
            for (const Mapping& mapping : garden.configuration().mappings) mappings.push_back(mapping.name);
            return mappings;
        });
    };
    known.of_tables = [](std::string_view set) {
        const Names names = names_of(read_tables().value);
        if (set == "medium") return names.media;
        if (set == "species") return names.species;
        if (set == "rootstock") return names.rootstocks;
        return set == "vigour" ? names.vigours : names.stages;
    };
    for (const Candidate& candidate : complete(asked.arguments, known))
        face.out << without_controls(candidate.word) << (candidate.says.empty() ? "" : "\t" + candidate.says) << '\n';
    return ExitStatus::done;
}

bool speaks_to_a_garden(Does does) {
    switch (does) {
        case Does::setup:
        case Does::check:
        case Does::backup:
        case Does::restore:
        case Does::demo:
        case Does::serve:
        case Does::pair:
        case Does::pair_list:
        case Does::pair_end:
        case Does::completion:
        case Does::complete:
        case Does::version:
        case Does::help:
            return false;
        default:
            return true;
    }
}

void refuse_what_has_no_meaning(const Asked& asked) {
    const std::string name = "tubgrove " + std::string(asked.command->words);
    const Does does = asked.command->does;
    for (const std::string_view option : {"--at", "--hindsight"})
        if (asked.has(option) && !speaks_to_a_garden(does) && does != Does::setup && does != Does::demo && does != Does::serve &&
            does != Does::help && does != Does::version)
            refuse(name + " knows no " + std::string(option), "leave it out");
    const bool no_answer = does == Does::help || does == Does::completion || does == Does::complete || does == Does::serve;
    if (asked.has("--json") && no_answer) refuse(name + " has no JSON form", "leave out --json");
}

// What may be the first thing that a garden hears. Of the rest nothing can be told without one, and a mistyped or unmounted
// folder must not look like an empty garden.
bool begins_a_garden(Does does) {
    return does == Does::pot_add || does == Does::pot_take || does == Does::daybook_take || does == Does::weather_add || does == Does::weather_note;
}

void refuse_where_none_is(const Places& places) {
    std::error_code none;
    if (Store::lies_in(places.data) || !std::filesystem::exists(places.configuration, none)) return;
    refuse("there is no garden at " + places.data.string() + " yet",
           "tubgrove pot add NAME, which begins one; or another folder with --data, if its disk is mounted");
}

ExitStatus carried_out(const Asked& asked, const Face& face) {
    const Places places = places_of(asked);
    switch (asked.command->does) {
        case Does::help:
            return help(asked, face);
        case Does::version:
            return version(face);
        case Does::completion:
            return completion(asked, face);
        case Does::complete:
            return completed(asked, places, face);
        case Does::setup:
            return run_setup(places, asked, face);
        case Does::check:
            return run_check(places, face);
        case Does::backup:
            return run_backup(places, asked, face);
        case Does::restore:
            return run_restore(places, asked, face);
        case Does::demo:
            return run_demo(places, asked, face);
        case Does::serve:
            return run_serve(places, asked, face);
        case Does::pair:
        case Does::pair_list:
        case Does::pair_end:
            return run_pair(places, asked, face);
        default:
            break;
    }
    if (!begins_a_garden(asked.command->does)) refuse_where_none_is(places);
    Opened opened = open_garden(places);
    return run_in(opened, asked, view_of(asked, *opened.garden), face);
}

}  // namespace

ExitStatus run(const Asked& asked, const Face& face) {
    refuse_what_has_no_meaning(asked);
    return carried_out(asked, face);
}

ExitStatus run_in(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    switch (asked.command->does) {
        case Does::pot_list:
        case Does::pot_show:
        case Does::words:
        case Does::pot_add:
        case Does::pot_change:
        case Does::pot_retire:
        case Does::pot_take:
        case Does::daybook_take:
            return run_pots(opened, asked, view, face);
        case Does::weather_add:
        case Does::weather_note:
        case Does::weather_show:
            return run_weather(opened, asked, view, face);
        case Does::jobs:
        case Does::job_done:
        case Does::job_wait:
        case Does::job_drop:
        case Does::season:
            return run_care(opened, asked, view, face);
        case Does::ahead:
        case Does::absence:
        case Does::visit:
        case Does::compare:
            return run_ahead(opened, asked, view, face);
        case Does::labels:
            return run_labels(opened, asked, view, face);
        case Does::export_all:
            return run_export(opened, asked, view, face);
        default:
            return run_daily(opened, asked, view, face);
    }
}

void talk(std::ostream& err, const std::string& text) {
    std::istringstream lines(text);    // several complaints come as a line each
    for (std::string line; std::getline(lines, line);) err << "tubgrove: " << without_controls(line) << std::endl;
}

std::optional<LocalDay> day_option(const Asked& asked, std::string_view option, const Seen& seen) {
    if (!asked.has(option)) return std::nullopt;
    const auto day = read_day(asked.value(option), seen);
    if (good(day) == nullptr) refuse(std::string(option) + ": " + fault(day).what, fault(day).right);
    return *good(day);
}

std::optional<Instant> time_option(const Asked& asked, std::string_view option, const Seen& seen) {
    if (!asked.has(option)) return std::nullopt;
    const auto time = read_time(asked.value(option), seen);
    if (good(time) == nullptr) refuse(std::string(option) + ": " + fault(time).what, fault(time).right);
    return *good(time);
}

std::string named_file(const std::string& name) try {
    return read_whole(name);
} catch (const std::system_error& error) {
    refuse("cannot read " + tubgrove::quoted(name) + ": " + error.code().message(),
           "the name of a file that you may read");
}

std::string with_apply(const Asked& asked) {
    std::string line = "tubgrove " + std::string(asked.command->words);
    for (const auto& word : asked.arguments) {
        const bool plain = word.find_first_of(" '\"$`\\&|;<>()*?[]#~!{}\t\n") == std::string::npos;
        line += " " + (plain ? word : "'" + word + "'");
    }
    return line + " --apply";
}

}  // namespace tubgrove
