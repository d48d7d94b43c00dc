#pragma once
// Carries a command out.
#include "face.hpp"
#include "opened.hpp"
#include "command_line.hpp"

namespace tubgrove {

// Any command. Throws Refused, InterviewEnded, Stopped and what the machine throws; main tells each apart.
ExitStatus run(const Asked& asked, const Face& face);

// A command that speaks to an open garden, at the moment that the view says.
ExitStatus run_in(Opened& opened, const Asked& asked, const View& view, const Face& face);

// By group of commands, each in a file of its own.
ExitStatus run_daily(Opened& opened, const Asked& asked, const View& view, const Face& face);
ExitStatus run_ahead(Opened& opened, const Asked& asked, const View& view, const Face& face);
ExitStatus run_care(Opened& opened, const Asked& asked, const View& view, const Face& face);
ExitStatus run_labels(Opened& opened, const Asked& asked, const View& view, const Face& face);
ExitStatus run_pots(Opened& opened, const Asked& asked, const View& view, const Face& face);
ExitStatus run_weather(Opened& opened, const Asked& asked, const View& view, const Face& face);
ExitStatus run_export(Opened& opened, const Asked& asked, const View& view, const Face& face);
ExitStatus run_setup(const Places& places, const Asked& asked, const Face& face);
ExitStatus run_check(const Places& places, const Face& face);
ExitStatus run_backup(const Places& places, const Asked& asked, const Face& face);
ExitStatus run_restore(const Places& places, const Asked& asked, const Face& face);
ExitStatus run_serve(const Places& places, const Asked& asked, const Face& face);
ExitStatus run_pair(const Places& places, const Asked& asked, const Face& face);
ExitStatus run_demo(const Places& places, const Asked& asked, const Face& face);

// A line for each file that was written, or the answer's JSON.
void show_files(const Face& face, const FilesAnswer& answer);

// Values of options, or Refused.
std::optional<LocalDay> day_option(const Asked& asked, std::string_view option, const Seen& seen);
std::optional<Instant> time_option(const Asked& asked, std::string_view option, const Seen& seen);
// A file that the person named, or Refused where it cannot be read.
std::string named_file(const std::string& name);
// The command line that would write what was only shown: the words again, with --apply.
std::string with_apply(const Asked& asked);

}  // namespace tubgrove
