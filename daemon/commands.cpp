#include "commands.hpp"

#include <algorithm>
#include <array>

namespace tubgrove {
namespace {

using Lines = std::string_view[];

constexpr Option globals[] = {
    {"--config", "FILE", Kind::file, "the configuration to use; else TUBGROVE_CONFIG, else the usual place"},
    {"--data", "DIR", Kind::folder,
     "the folder with the daybook and readings; else TUBGROVE_DATA, else the usual place"},
    {"--at", "TIME", Kind::time,
     "answer as at that time: 2026-07-14 (the morning's hour of issue) or 2026-07-14T19:00:00+02:00"},
    {"--hindsight", "", Kind::nothing, "with --at: use what is known today about that time"},
    {"--json", "", Kind::nothing, "the answer as JSON"},
    {"--help", "", Kind::nothing, "help, also for each command"},
    {"--version", "", Kind::nothing, "the version"},
};

constexpr Option day_and_walk[] = {
    {"--day", "DAY", Kind::day, "another day: 2026-07-14, today, yesterday"},
    {"--walk", "WALK", Kind::walk, "morning or evening"},
    {"--recompute", "", Kind::nothing, "work a past round out anew instead of showing the stored one"},
};
constexpr Option did_options[] = {
    {"--when", "T", Kind::time, "when it happened: 07:30 (today), 2026-07-14T07:30, or RFC 3339 with its zone"},
    {"--by", "WHO", Kind::words, "who did it; without it, the gardener"},
    {"--note", "TEXT", Kind::words, "anything worth keeping with it"},
    {"--round", "ID", Kind::words, "the round that it answers, when not the newest"},
};
constexpr Option span_options[] = {
    {"--from", "DAY", Kind::day, "first day"},
    {"--to", "DAY", Kind::day, "last day"},
};
constexpr Option daybook_options[] = {
    {"--pot", "POT", Kind::pot, "only this pot"},
    {"--from", "DAY", Kind::day, "first day"},
    {"--to", "DAY", Kind::day, "last day"},
};
constexpr Option since_option[] = {{"--since", "DAY", Kind::day, "the day from which it holds; without it, today"}};
constexpr Option because_option[] = {{"--because", "TEXT", Kind::words, "why: given away, planted out, dead"}};
constexpr Option apply_option[] = {
    {"--apply", "", Kind::nothing, "write it; without it, only show what would change"}};
constexpr Option retired_option[] = {{"--retired", "", Kind::nothing, "also the pots that are gone"}};
constexpr Option note_option[] = {{"--note", "TEXT", Kind::words, "why"}};
constexpr Option weather_day[] = {{"--day", "DAY", Kind::day, "the day that it speaks of; without it, today"}};
constexpr Option into_option[] = {{"--into", "DIR", Kind::folder, "the folder to write to; without it, this one"}};
constexpr Option weather_options[] = {
    {"--mapping", "NAME", Kind::mapping, "the mapping in the configuration that explains this file's columns"},
    {"--source", "NAME", Kind::words, "name of the source; without it, the mapping's or the file's"},
    {"--forecast", "", Kind::nothing, "these are forecasts; needs --issued"},
    {"--issued", "TIME", Kind::time, "when the forecast was issued"},
    {"--member", "N", Kind::number, "which member of an ensemble forecast, from 0"},
};
constexpr Option why_options[] = {
    {"--day", "DAY", Kind::day, "another day: 2026-07-14, today, yesterday"},
    {"--recompute", "", Kind::nothing, "work a past round out anew instead of showing the stored one"},
};

constexpr Lines round_examples = {"", "round", "round --walk evening", "--at 2026-07-14 round", "round --json"};
constexpr Option labels_options[] = {
    {"--link", "URL", Kind::words, "where phones find the page; without it, as `doors:` in the configuration says"},
    {"--into", "FILE", Kind::file, "a page to print from a browser, written to this file"},
};
constexpr Lines labels_examples = {"labels --into labels.html", "labels 7 8 --link http://garden.lan:8824"};
constexpr Lines sheet_examples = {"sheet", "sheet --walk evening"};
constexpr Lines did_examples = {"did round all",
                                "did round some",
                                "did 7 watered 2.5L",
                                "did 7 8 12 ran-through",
                                "did 7 felt dry",
                                "did 7 weighed 8.4kg",
                                "did 7 moved south-wall --when 18:30 --by Ana"};
constexpr Lines why_examples = {"why 7", "why 7 --day 2026-07-14"};
constexpr Lines water_examples = {"water 7", "water 7 --from 2026-07-01 --to 2026-07-14"};
constexpr Lines ahead_examples = {"ahead", "ahead --days 4", "--at 2026-07-14 ahead", "ahead --hindcast"};
constexpr Lines absence_examples = {"absence 2026-08-01 2026-08-14"};
constexpr Lines visit_examples = {"visit 2026-08-14"};
constexpr Lines compare_examples = {"compare 7 mulch.depth=4cm", "compare 7 container.size=60L bay=north-wall"};
constexpr Option ahead_options[] = {
    {"--days", "N", Kind::number, "how many days, 1 to 10"},
    {"--hindcast", "", Kind::nothing, "instead of days: what it foresaw of the pots on past mornings, beside what came"},
};
constexpr Option weather_show_options[] = {
    {"--from", "DAY", Kind::day, "first day"},
    {"--to", "DAY", Kind::day, "last day"},
    {"--forecast", "", Kind::nothing, "instead of days: how good each source's forecasts were here"},
};
constexpr Lines words_examples = {"words"};
constexpr Option jobs_options[] = {
    {"--day", "DAY", Kind::day, "another day: 2026-07-14, tomorrow, or a day before"},
    {"--pot", "POT", Kind::pot, "only this pot"},
};
constexpr Option job_done_options[] = {
    {"--when", "T", Kind::time, "when it was done; without it, now"},
    {"--by", "WHO", Kind::words, "who did it; without it, the gardener"},
    {"--note", "TEXT", Kind::words, "anything worth keeping with it"},
};
constexpr Option until_option[] = {{"--until", "DAY", Kind::day, "needed: the day on which it comes back, within its window"}};
constexpr Option drop_option[] = {{"--because", "TEXT", Kind::words, "needed: why; it is kept with the job"}};
constexpr Option season_option[] = {{"--year", "YEAR", Kind::number, "the season that began in this year; without it, the present one"}};
constexpr Lines jobs_examples = {"jobs", "jobs --pot 7", "jobs --day 2026-07-14"};
constexpr Lines job_done_examples = {"job done 7.stake-gale.2026-07-14", "job done 7.leach.2026-01-03 60L", "job done 7.thin.2026 --by Ana"};
constexpr Lines job_wait_examples = {"job wait 7.thin.2026 --until 2026-06-05"};
constexpr Lines job_drop_examples = {"job drop 7.thin.2026 --because 'it set three apples'"};
constexpr Lines season_examples = {"season 7", "season 7 --year 2025"};
constexpr Lines list_examples = {"pot list", "pot list --retired"};
constexpr Lines show_examples = {"pot show 7"};
constexpr Lines add_examples = {
    "pot add 7 bay=south-wall container.size=40L tree.a.species=apple tree.a.rootstock=M.27"};
constexpr Lines change_examples = {"pot change 7 tree.a.leaves=dense",
                                   "pot change 7 container.size=50L --since 2026-03-02"};
constexpr Lines retire_examples = {"pot retire 7 --because 'planted out by the gate'"};
constexpr Lines take_examples = {"pot take garden.yaml", "pot take garden.yaml --apply"};
constexpr Lines weather_add_examples = {"weather add readings.csv", "weather add --mapping roof-station station.csv",
                                        "weather add --forecast --issued 2026-07-14T05:00:00+02:00 forecast.csv",
                                        "weather add --source roof -"};
constexpr Lines weather_note_examples = {"weather note max=31degC min=17degC rain=3mm",
                                         "weather note hot --day yesterday"};
constexpr Lines weather_show_examples = {"weather show", "weather show --from 2026-07-01 --to 2026-07-14", "weather show --forecast"};
constexpr Lines setup_examples = {"setup"};
constexpr Lines check_examples = {"check", "--config new.yaml check"};
constexpr Lines clock_examples = {"clock confirm"};
constexpr Lines strike_examples = {"strike 212", "strike 212 --note 'that was pot 8'"};
constexpr Lines daybook_examples = {"daybook", "daybook --pot 7 --from 2026-07-01"};
constexpr Lines daybook_take_examples = {"daybook take tubgrove-daybook.csv --apply"};
constexpr Lines export_examples = {"export", "export --into copies"};
constexpr Lines backup_examples = {"backup tubgrove-2026-07-14.db"};
constexpr Lines restore_examples = {"restore tubgrove-2026-07-14.db"};
constexpr Lines demo_examples = {"demo", "--at 2026-06-10 demo", "demo --into my-demo"};
constexpr Lines serve_examples = {"serve", "--config /etc/tubgrove/tubgrove.yaml --data /var/lib/tubgrove serve"};
constexpr Lines pair_examples = {"pair", "pair --name Ana --until 2026-08-16", "pair --calendar"};
constexpr Lines pair_list_examples = {"pair list"};
constexpr Lines pair_end_examples = {"pair end 3", "pair end Ana"};
constexpr Lines completion_examples = {"completion bash", "completion zsh", "completion fish"};
constexpr Lines version_examples = {"version"};
constexpr Lines help_examples = {"help", "help did"};
constexpr Lines complete_examples = {"complete -- did 7 wat"};

constexpr Option demo_options[] = {
    {"--into", "DIR", Kind::folder, "where it stands; without it, ~/.local/share/tubgrove-demo"}};

constexpr Option pair_options[] = {
    {"--name", "WHO", Kind::words, "whose phone it is; their entries carry the name. Without it, the gardener's; with --until it is needed"},
    {"--until", "DAY", Kind::day, "the last day on which it is let in, such as that of a return: its page shows what a helper pours, and nothing else; 91 days ahead at most; without it, until it is ended"},
    {"--calendar", "", Kind::nothing, "no phone, but an address for a calendar program, which shows walks and care and opens nothing else"}};

constexpr std::string_view daily = "Each day", pots = "Pots and trees", weather = "Weather",
                           house = "The garden as a whole", program = "The program";

constexpr std::array table{
    Command{Does::round, "round", daily, "", 0, 0, Kind::nothing, Kind::nothing,
            "the list: which pots get how much, and why",
            "Without any command the current round is shown. It is issued once and kept: asked again it is the same "
            "list, "
            "unless newer weather or entries came in, and then it says what changed.",
            day_and_walk, round_examples},
    Command{
        Does::did, "did", daily, "POT… ACTION [AMOUNT]", 2, -1, Kind::pots_then_action, Kind::pots_then_action,
        "write down what was done or seen",
        "Name one pot or several, then what was done. `did round all`, `some` or `none` answers for a whole round; a "
        "round that nobody answers stays unknown, and the estimates carry both possibilities. A mistake is struck "
        "with "
        "`tubgrove strike`.",
        did_options, did_examples},
    Command{Does::why, "why", daily, "POT", 1, 1, Kind::pot, Kind::nothing,
            "each number of a pot's line, from the weather to the litres, with its equation and source", "",
            why_options, why_examples},
    Command{Does::water, "water", daily, "POT", 1, 1, Kind::pot, Kind::nothing,
            "how a pot's water went: what it lacked, what was poured, what rained", "", span_options, water_examples},
    Command{Does::ahead, "ahead", daily, "", 0, 0, Kind::nothing, Kind::nothing,
            "what is coming: heat, walks to plan, water needed, which pots run dry and when",
            "Each figure has its range over the possible weather and over what is not known of a pot. In heat it says which pots one filling "
            "does not last a day, and what would help each, in litres and hours. With --at it looks ahead from a past day, with the forecast "
            "of that day.",
            ahead_options, ahead_examples},
    Command{Does::absence, "absence", daily, "FROM TO", 2, 2, Kind::day, Kind::day,
            "being away: how long each pot lasts, what makes it last, who must come when, and a sheet for them",
            "FROM is the first day away, TO the last. The pots are filled on the evening before; the return is on the morning after. Two moments "
            "a pot: growth is checked, leaves are harmed.",
            {}, absence_examples},
    Command{Does::visit, "visit", daily, "TO", 1, 1, Kind::day, Kind::nothing,
            "for somebody who waters while you are away until TO: whether they must come today, and what they pour",
            "It is worked out from what has been told up to now, so it follows the weather and what was really poured. A phone let in "
            "with `pair --until` shows it, and nothing else; it may write what a visit does and strike its own.",
            {}, visit_examples},
    Command{Does::compare, "compare", daily, "POT FACT=VALUE…", 2, -1, Kind::pot, Kind::fact,
            "a pot's past season, and a typical one, with other facts: litres, walks, hours dry", "", {}, compare_examples},
    Command{Does::jobs, "jobs", daily, "", 0, 0, Kind::nothing, Kind::nothing,
            "care: what falls due, this week and in season, each with its reason",
            "At most three lines of these stand on a morning's list. A job is answered by what was done (`did 7 stake-checked` and `job "
            "done ID` are the same), waits until a day within its window, or is dropped with a reason; striking that entry opens it "
            "again.",
            jobs_options, jobs_examples},
    Command{Does::job_done, "job done", daily, "ID [AMOUNT]", 1, -1, Kind::job, Kind::words, "a job was done: writes the entry that says so", "",
            job_done_options, job_done_examples},
    Command{Does::job_wait, "job wait", daily, "ID", 1, 1, Kind::job, Kind::nothing, "a job waits until a day within its window", "", until_option,
            job_wait_examples},
    Command{Does::job_drop, "job drop", daily, "ID", 1, 1, Kind::job, Kind::nothing, "a job is left out this time, with the reason", "", drop_option,
            job_drop_examples},
    Command{Does::season, "season", daily, "POT", 1, 1, Kind::pot, Kind::nothing,
            "a pot's year: weather, pours, dryness, stages, and jobs done and missed", "", season_option, season_examples},
    Command{Does::sheet, "sheet", daily, "", 0, 0, Kind::nothing, Kind::nothing,
            "the list for paper, with boxes to tick", "", day_and_walk, sheet_examples},
    Command{Does::daybook, "daybook", daily, "", 0, 0, Kind::nothing, Kind::nothing, "what was written down", "",
            daybook_options, daybook_examples},
    Command{Does::strike, "strike", daily, "ENTRY", 1, 1, Kind::entry, Kind::nothing,
            "strike an entry that was a mistake",
            "The entry stays in the daybook, marked as struck. Its number stands before it in `tubgrove daybook`.",
            note_option, strike_examples},
    Command{Does::pot_list, "pot list", pots, "", 0, 0, Kind::nothing, Kind::nothing, "the pots", "", retired_option,
            list_examples},
    Command{Does::pot_show,
            "pot show",
            pots,
            "POT",
            1,
            1,
            Kind::pot,
            Kind::nothing,
            "what is known of a pot, and what is assumed",
            "",
            {},
            show_examples},
    Command{Does::labels, "labels", pots, "[POT…]", 0, -1, Kind::pot, Kind::pot,
            "labels to print: id, name, and a code that opens the pot's page",
            "Without pots, one for each in walking order. On the terminal the codes can be read from the screen; the file that "
            "--into writes prints on A4 and Letter, and so does the page at /labels.",
            labels_options, labels_examples},
    Command{Does::words,
            "words",
            pots,
            "",
            0,
            0,
            Kind::nothing,
            Kind::nothing,
            "the facts of a pot and the actions of the daybook, with the names that this garden takes",
            "",
            {},
            words_examples},
    Command{Does::pot_add,
            "pot add",
            pots,
            "POT FACT=VALUE…",
            2,
            -1,
            Kind::words,
            Kind::fact,
            "add a pot",
            "The pot's id is the number or name on its label; it is never used twice. Least needed: the bay, the "
            "size and "
            "a species. All else has a default with a wide range.",
            {},
            add_examples},
    Command{Does::pot_change, "pot change", pots, "POT FACT=VALUE…", 2, -1, Kind::pot, Kind::fact,
            "add or correct what is known of a pot", "", since_option, change_examples},
    Command{Does::pot_retire, "pot retire", pots, "POT", 1, 1, Kind::pot, Kind::nothing,
            "a pot leaves the garden; its daybook stays", "", because_option, retire_examples},
    Command{Does::pot_take, "pot take", pots, "FILE", 1, 1, Kind::file, Kind::nothing,
            "take many pots from a garden file (YAML)", "", apply_option, take_examples},
    Command{
        Does::weather_add, "weather add", weather, "FILE…", 1, -1, Kind::file, Kind::file,
        "take readings or forecasts in",
        "`-` is standard input. Bad lines are refused one by one and named; good ones are kept. The same file twice "
        "changes nothing. Exit status 1: some lines were refused; 2: nothing could be taken.",
        weather_options, weather_add_examples},
    Command{Does::weather_note, "weather note", weather, "max=… min=… rain=… | cool | usual | hot", 1, -1,
            Kind::words, Kind::words, "a day's weather by hand", "", weather_day, weather_note_examples},
    Command{Does::weather_show, "weather show", weather, "", 0, 0, Kind::nothing, Kind::nothing,
            "the days, and what of them was measured, derived or guessed", "", weather_show_options, weather_show_examples},
    Command{Does::setup,
            "setup",
            house,
            "",
            0,
            0,
            Kind::nothing,
            Kind::nothing,
            "asks for the garden, its bays and first pots",
            "Every answer can be taken back with `back`, `?` explains a question, and nothing is written before all "
            "of it "
            "was shown and agreed to.",
            {},
            setup_examples},
    Command{Does::check,
            "check",
            house,
            "",
            0,
            0,
            Kind::nothing,
            Kind::nothing,
            "read the whole configuration and say what is wrong, or what was understood",
            "",
            {},
            check_examples},
    Command{Does::clock_confirm,
            "clock confirm",
            house,
            "",
            0,
            0,
            Kind::nothing,
            Kind::nothing,
            "say that this machine's clock is right",
            "",
            {},
            clock_examples},
    Command{Does::export_all, "export", house, "", 0, 0, Kind::nothing, Kind::nothing,
            "the garden as YAML and the daybook as CSV, to be read anywhere",
            "Writes tubgrove-garden.yaml and tubgrove-daybook.csv. `pot take` and `daybook take` take them in again.",
            into_option, export_examples},
    Command{Does::daybook_take, "daybook take", house, "FILE", 1, 1, Kind::file, Kind::nothing,
            "take an exported daybook in", "", apply_option, daybook_take_examples},
    Command{Does::backup,
            "backup",
            house,
            "FILE",
            1,
            1,
            Kind::file,
            Kind::nothing,
            "a safe copy of everything, in one file",
            "Safe while the daemon runs. An existing file is never overwritten.",
            {},
            backup_examples},
    Command{Does::restore,
            "restore",
            house,
            "FILE",
            1,
            1,
            Kind::file,
            Kind::nothing,
            "put a backup in place",
            "What stood there before is kept beside it under another name.",
            {},
            restore_examples},
    Command{Does::demo, "demo", house, "", 0, 0, Kind::nothing, Kind::nothing,
            "an invented garden with an invented season, to look around in",
            "The first time it lives through the season, which takes a while. Then it shows a morning of the "
            "heatwave, or "
            "the one that --at names.",
            demo_options, demo_examples},
    Command{Does::serve,
            "serve",
            house,
            "",
            0,
            0,
            Kind::nothing,
            Kind::nothing,
            "the service: the list on the phone, until it is stopped",
            "Answers over HTTP at the doors that the configuration names, by default for this machine only. With --at its "
            "clock stands still there, to look around in a demo or a past season. SIGHUP reads the configuration again.",
            {},
            serve_examples},
    Command{Does::pair, "pair", house, "", 0, 0, Kind::nothing, Kind::nothing, "let a phone in",
            "Prints a code that is good once and for ten minutes, and the same as a QR code for the phone's camera. With "
            "--calendar it prints an address that a calendar program subscribes to. Run it as the one whom the data folder belongs to.",
            pair_options, pair_examples},
    Command{Does::pair_list, "pair list", house, "", 0, 0, Kind::nothing, Kind::nothing, "the phones that are let in", "",
            {}, pair_list_examples},
    Command{Does::pair_end, "pair end", house, "NUMBER|WHO", 1, 1, Kind::words, Kind::nothing,
            "a phone is no longer let in", "Or a calendar. With a phone end the calendars that it asked for; with a name, all phones and calendars of that name. What is still open "
            "for the same person is told.", {}, pair_end_examples},
    Command{Does::completion,
            "completion",
            program,
            "bash|zsh|fish",
            1,
            1,
            Kind::shell,
            Kind::nothing,
            "a script that completes tubgrove's words in your shell",
            "bash: put `source <(tubgrove completion bash)` into ~/.bashrc. zsh: save it as _tubgrove in a folder of "
            "$fpath. fish: save it as ~/.config/fish/completions/tubgrove.fish.",
            {},
            completion_examples},
    Command{
        Does::help, "help", program, "[COMMAND]", 0, 2, Kind::command, Kind::command, "help", "", {}, help_examples},
    Command{Does::version,
            "version",
            program,
            "",
            0,
            0,
            Kind::nothing,
            Kind::nothing,
            "the version of program and model",
            "",
            {},
            version_examples},
    Command{Does::complete,
            "complete",
            "",
            "-- WORD…",
            0,
            -1,
            Kind::nothing,
            Kind::nothing,
            "what could stand in the last word's place; for completion scripts",
            "",
            {},
            complete_examples},
};

}  // namespace

std::span<const Command> commands() { return table; }
std::span<const Option> global_options() { return globals; }

const Command& command_of(Does does) { return *std::ranges::find(table, does, &Command::does); }

const Command* find_command(std::string_view words) {
    const auto found = std::ranges::find(table, words, &Command::words);
    return found == table.end() ? nullptr : &*found;
}

}  // namespace tubgrove
