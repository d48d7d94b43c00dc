// The commands of care: jobs, what was done about them, and a pot's year.
#include "draw_answers.hpp"
#include "draw_jobs.hpp"
#include "run.hpp"

#include "intake/quantity.hpp"

#include <span>

namespace tubgrove {

ExitStatus run_care(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    Garden& garden = *opened.garden;
    const Zone& zone = garden.zone();
    const Seen seen{view.now, zone};
    const auto entries = [&](const EntriesAnswer& answer) { return draw_entries(answer, zone, face.page); };
    switch (asked.command->does) {
        case Does::job_done: {
            const Garden::DidOptions options{.when = time_option(asked, "--when", seen), .by = asked.value("--by"), .note = asked.value("--note"), .round = {}};
            return show(face, garden.job_done(view, asked.arguments[0], std::span(asked.arguments).subspan(1), options), zone, entries);
        }
        case Does::job_wait: {
            const auto until = day_option(asked, "--until", seen);
            if (!until) refuse("job wait needs --until", "job wait " + asked.arguments[0] + " --until 2026-07-20");
            return show(face, garden.job_wait(view, asked.arguments[0], *until), zone, entries);
        }
        case Does::job_drop:
            return show(face, garden.job_drop(view, asked.arguments[0], asked.value("--because")), zone, entries);
        case Does::season: {
            std::optional<int> year;
            if (asked.has("--year")) {
                const auto read = parse_count(asked.value("--year"), 1900, 2200);
                if (good(read) == nullptr) refuse("--year: " + fault(read).what, fault(read).right);
                year = int(*good(read));
            }
            return show(face, garden.season(view, asked.arguments[0], year), zone,
                        [&](const SeasonAnswer& answer) { return draw_season(answer, zone.day_of(view.now), face.page); });
        }
        default:
            return show(face, garden.jobs(view, day_option(asked, "--day", seen), asked.value("--pot")), zone,
                        [&](const JobsAnswer& answer) { return draw_jobs(answer, face.page); });
    }
}

}  // namespace tubgrove
