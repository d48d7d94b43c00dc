// Weather in and shown.
#include "draw_ahead.hpp"
#include "draw_answers.hpp"
#include "progress.hpp"
#include "run.hpp"

#include "intake/quantity.hpp"

#include <fstream>
#include <iostream>

namespace tubgrove {
namespace {

WeatherFile described(const Asked& asked, const Seen& seen) {
    WeatherFile file;
    file.source = asked.value("--source");
    file.mapping = asked.value("--mapping");
    file.issued = time_option(asked, "--issued", seen);
    if (asked.has("--forecast") && !file.issued)
        refuse("a forecast needs the time when it was issued", "--forecast --issued 2026-07-14T05:00:00+02:00");
    if (file.issued && !asked.has("--forecast")) refuse("--issued speaks of a forecast", "--forecast --issued TIME");
    if (asked.has("--member")) {
        const auto member = parse_count(asked.value("--member"), 0, 1000);
        if (good(member) == nullptr) refuse("--member: " + fault(member).what, fault(member).right);
        if (!file.issued) refuse("--member speaks of a forecast", "--forecast --issued TIME --member N");
        file.member = int(*good(member));
    }
    return file;
}

// How far a stream is in its file; below 0 where it is no file.
std::function<double()> share_of(std::istream& in, const std::string& name) {
    std::error_code none;
    const auto size = name == "-" ? std::uintmax_t(-1) : std::filesystem::file_size(name, none);
    if (none || size == std::uintmax_t(-1) || size == 0) return [] { return -1.0; };
    return [&in, size] {
        const auto at = in.tellg();
        return at < 0 ? 1.0 : double(at) / double(size);
    };
}

ExitStatus status_of(const IngestAnswer& answer) {
    if (answer.refused.empty()) return ExitStatus::done;  // a file that was cut short has no refused line, and is not in order either
    return answer.fresh + answer.same + answer.changed + answer.empty == 0 ? ExitStatus::wrong_words : ExitStatus::not_in_order;
}

ExitStatus show_ingest(const Face& face, const Outcome<IngestAnswer>& outcome, const Zone& zone,
                       const std::string& name) {
    const auto status =
        show(face, outcome, zone, [&](const IngestAnswer& answer) { return draw_ingest(answer, name, face.page); });
    const auto* answer = std::get_if<IngestAnswer>(&outcome);
    if (answer == nullptr) return status;
    for (const auto& refused : answer->refused) talk(face.err, refused);
    if (answer->refused_count > long(answer->refused.size()))
        talk(face.err,
             "and " + std::to_string(answer->refused_count - long(answer->refused.size())) + " more refused");
    return status_of(*answer);
}

ExitStatus add_file(Opened& opened, const View& view, const Face& face, WeatherFile file) {
    std::ifstream opened_file;
    if (file.name != "-") {
        opened_file.open(file.name, std::ios::binary);
        if (!opened_file) refuse("cannot read " + tubgrove::quoted(file.name), "a file that you may read");
    }
    std::istream& in = file.name == "-" ? std::cin : opened_file;
    const std::string name = file.name == "-" ? "standard input" : file.name;
    Outcome<IngestAnswer> outcome;
    {
        Progress progress(name, share_of(in, file.name));
        file.progress = [&](long rows) { progress.step(rows); };
        outcome = opened.garden->weather_add(view, in, file);
    }
    return show_ingest(face, outcome, opened.garden->zone(), name);
}

ExitStatus add_files(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    WeatherFile file = described(asked, {view.now, opened.garden->zone()});
    for (const auto& name : asked.arguments) {
        std::error_code none;
        if (name == "-") continue;
        if (std::filesystem::is_directory(name, none)) refuse(tubgrove::quoted(name) + " is a folder", "the names of files in it");
        if (!std::filesystem::exists(name, none))
            refuse("there is no file " + tubgrove::quoted(name), "the name of a file, or - for standard input");
    }
    // Several answers are one JSON document too: a list of them.
    const bool listed = face.json && asked.arguments.size() > 1;
    ExitStatus worst = ExitStatus::done;
    for (const auto& name : asked.arguments) {
        if (listed) face.out << (&name == &asked.arguments.front() ? "[\n" : ",\n");
        file.name = name;
        worst = std::max(worst, add_file(opened, view, face, file));
    }
    if (listed) face.out << "]\n";
    return worst;
}

}  // namespace

ExitStatus run_weather(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    Garden& garden = *opened.garden;
    const Seen seen{view.now, garden.zone()};
    switch (asked.command->does) {
        case Does::weather_add:
            return add_files(opened, asked, view, face);
        case Does::weather_note:
            return show_ingest(face, garden.weather_note(view, asked.arguments, day_option(asked, "--day", seen)),
                               garden.zone(), "noted");
        default:
            if (asked.has("--forecast")) {
                if (asked.has("--from") || asked.has("--to")) refuse("--forecast speaks of all the days that can be compared", "--forecast alone");
                return show(face, garden.forecasts(view), garden.zone(),
                            [&](const ForecastsAnswer& answer) { return draw_forecasts(answer, garden.zone(), face.page); });
            }
            return show(face,
                        garden.weather_show(view, day_option(asked, "--from", seen), day_option(asked, "--to", seen)),
                        garden.zone(),
                        [&](const WeatherAnswer& answer) { return draw_weather(answer, garden.zone(), face.page); });
    }
}

}  // namespace tubgrove
