// To whom a list is told, when, as what, and what an answer means.
#include "catch.h"
#include "serve/notice_plan.hpp"
#include "told.hpp"

#include <boost/json.hpp>

#include <cmath>

using namespace tubgrove;
using namespace std::chrono_literals;
using Came = TellingVerdict::Came;

namespace {

NoticeChannel channel(NoticeChannel::Way way, std::vector<std::string> to = {}) {
    NoticeChannel made;
    made.way = way;
    made.name = "ana";
    made.from = "Pots <pots@example.org>";
    made.to = std::move(to);
    return made;
}

Instant at(std::string_view text) { return parse_rfc3339(text).value(); }
const Zone zone = Zone::find("Europe/Budapest").value();

Brought brought(long status, std::string error = {}, bool unsure = false) {
    Brought made;
    made.status = status;
    made.error = std::move(error);
    made.unsure = unsure;
    return made;
}

Round morning() {
    Round round;
    round.id = "2026-07-14-morning";
    round.day = parse_day("2026-07-14").value();
    round.walk = "morning";
    round.site = "Lark Terrace";
    return round;
}

PourLine pour(const char* pot, double pour_l, int passes = 1, Until until = Until::amount) {
    PourLine line;
    line.pot = pot;
    line.pour_l = pour_l;
    line.passes = passes;
    line.until = until;
    return line;
}

RoundJob stake() {
    RoundJob job;
    job.title = "check the stake and its tie";
    job.closes = parse_day("2026-07-17").value();
    job.because = {{"gust", {}, "gust 18.4 m/s at 03:10 today"}, {"last", {}, "last looked at 41 days ago"}};
    job.caution = {"Two people for a pot that has to be lifted."};
    job.parts = {{.id = "", .rule = "stake-gale", .title = "", .pot = "3", .label = "", .bay = "", .answer = ""},
                 {.id = "", .rule = "stake-gale", .title = "", .pot = "7", .label = "", .bay = "", .answer = ""}};
    return job;
}

boost::json::object errand(const NoticeChannel& to, const Round& round, std::string_view id = "2026-07-14-morning") {
    const auto all = addressees({.quiet = {}, .days_off = {}, .channels = {to}});
    const auto sent = telling_errand(all.front(), {round, "{}\n", "https://terrace.lan"}, id);
    CHECK(sent.longest > 45s);
    return boost::json::parse(sent.errand).as_object();
}

}  // namespace

TEST_CASE("a mail to several people is one a person") {
    using enum NoticeChannel::Way;
    const auto all = addressees({.quiet = {}, .days_off = {}, .channels = {channel(mail, {"a@b.c", "d@e.f"}), channel(webhook), channel(mail, {"g@h.i"})}});
    REQUIRE(all.size() == 4);
    CHECK(all[0].key == "ana/a@b.c");
    CHECK(all[1].key == "ana/d@e.f");
    CHECK(all[1].channel.to == std::vector<std::string>{"d@e.f"});
    CHECK(all[2].key == "ana");
    CHECK(all[3].key == "ana");
    CHECK(all[3].way() == "mail");
}

TEST_CASE("a walk is told once, a topic shows each revision") {
    const Addressee mail{"a", channel(NoticeChannel::Way::mail, {"a@b.c"})}, topic{"t", channel(NoticeChannel::Way::topic)};
    CHECK(told_as(mail, "2026-07-14-morning") == "2026-07-14-morning");
    CHECK(told_as(mail, "2026-07-14-morning.3") == "2026-07-14-morning");
    CHECK(told_as(topic, "2026-07-14-morning.3") == "2026-07-14-morning.3");
}

TEST_CASE("quiet hours end where they end, over midnight and over the change of summer time") {
    const Addressee to{"a", channel(NoticeChannel::Way::webhook)};
    const QuietHours night{21h + 30min, 6h + 30min}, noon{12h, 14h};
    const auto until = [&](const QuietHours& hours, std::string_view now) { return format_rfc3339(quiet_until(to, hours, at(now), zone), zone); };
    CHECK(until(night, "2026-07-14T21:29:59+02:00") == "2026-07-14T21:29:59+02:00");
    CHECK(until(night, "2026-07-14T21:30:00+02:00") == "2026-07-15T06:30:00+02:00");
    CHECK(until(night, "2026-07-15T00:10:00+02:00") == "2026-07-15T06:30:00+02:00");
    CHECK(until(night, "2026-07-15T06:29:59+02:00") == "2026-07-15T06:30:00+02:00");
    CHECK(until(night, "2026-07-15T06:30:00+02:00") == "2026-07-15T06:30:00+02:00");
    CHECK(until(noon, "2026-07-15T12:00:00+02:00") == "2026-07-15T14:00:00+02:00");
    CHECK(until(noon, "2026-07-15T11:59:59+02:00") == "2026-07-15T11:59:59+02:00");
    CHECK(until(noon, "2026-07-15T14:00:00+02:00") == "2026-07-15T14:00:00+02:00");
    CHECK(until(night, "2026-10-25T01:00:00+02:00") == "2026-10-25T06:30:00+01:00");
    auto loud = to;
    loud.channel.quiet = false;
    CHECK(quiet_until(loud, night, at("2026-07-15T00:10:00+02:00"), zone) == at("2026-07-15T00:10:00+02:00"));
    CHECK(quiet_until(to, {}, at("2026-07-15T00:10:00+02:00"), zone) == at("2026-07-15T00:10:00+02:00"));
}

TEST_CASE("an answer means told, not told, or that nobody knows") {
    CHECK(judge_telling(brought(204)).came == Came::told);
    CHECK(judge_telling(brought(250)).came == Came::told);
    CHECK(judge_telling(brought(0)).came == Came::told);  // a broker has no status
    CHECK(judge_telling(brought(503)).came == Came::failed);
    CHECK_FALSE(judge_telling(brought(503)).hopeless);
    CHECK(judge_telling(brought(404)).hopeless);
    CHECK_FALSE(judge_telling(brought(429)).hopeless);
    CHECK(judge_telling(brought(308)).why == "the server answered 308");
    CHECK(judge_telling(brought(452, "the box is full")).came == Came::failed);
    CHECK_FALSE(judge_telling(brought(452, "the box is full")).hopeless);
    CHECK(judge_telling(brought(550, "nobody of that name")).hopeless);
    CHECK(judge_telling(brought(0, "no route")).came == Came::failed);
    CHECK(judge_telling(brought(354, "timed out", true)).came == Came::unsure);
}

TEST_CASE("tries come further and further apart, up to half an hour") {
    for (int tries = 1; tries < 20; ++tries) {
        const double plain = 60.0 * std::pow(2, std::min(tries, 6) - 1);
        const double wait = double(next_telling("ana", tries, {}).count()) / 1000;
        CHECK(wait >= plain * 0.75 - 1);
        CHECK(wait <= plain * 1.25 + 1);
    }
    CHECK(next_telling("ana", 1, 7200s) == 7200s);
}

TEST_CASE("a mail says what to do, short and in plain words") {
    auto round = morning();
    round.notices = {{"heat", Severity::warning, {}, "35 °C are expected today"}, {"uncalibrated", Severity::note, {}, "no weighing yet"}};
    round.question = Question{.round = "2026-07-13-morning", .text = "Yesterday: all, some or none poured?", .unanswered = 1, .feel_first = {}};
    round.pours = {pour("3", 2.5), pour("7", 3, 2, Until::run_through)};
    round.pours[0].label = "old pear";
    round.total_l = 5.5;
    RestLine rest;
    rest.pot = "8";
    rest.next_day = parse_day("2026-07-16");
    round.no_water = {rest};
    round.jobs = {stake()};
    const auto mail = errand(channel(NoticeChannel::Way::mail, {"ana@example.org"}), round);
    CHECK(mail.at("subject").as_string() == "Morning: 2 pots, 5.5 L, 1 job");
    CHECK(mail.at("text").as_string() == R"(Lark Terrace, Tuesday 14 July 2026

35 °C are expected today.

Yesterday: all, some or none poured?

Water, in walking order:
- 3 (old pear): 2.5 L
- 7: 3 L in 2 passes, stop when it runs through

No water for pot 8 until Thu 16 July.

Care:
- Check the stake and its tie, pots 3, 7, until Friday. Gust 18.4 m/s at 03:10 today; last looked at 41 days ago.
  Care: Two people for a pot that has to be lifted.

No weighing yet.

With reasons, and to tick off: https://terrace.lan/
)");
    CHECK(mail.at("to").as_array().size() == 1);
    CHECK(mail.at("plain_allowed") == false);
    // The same for each try, another one for another list.
    const auto to = channel(NoticeChannel::Way::mail, {"ana@example.org"});
    CHECK(mail.at("id") == errand(to, round).at("id"));
    CHECK(mail.at("id") != errand(to, round, "2026-07-15-morning").at("id"));
    CHECK(std::string(mail.at("id").as_string()).ends_with("@example.org"));
}

TEST_CASE("what is true of all pours is said once, and of several that rest the first") {
    auto round = morning();
    round.pours = {pour("3", 2.5, 1, Until::run_through), pour("7", 3, 1, Until::run_through)};
    for (const auto* pot : {"8", "9"}) {
        round.no_water.emplace_back();
        round.no_water.back().pot = pot;
        round.no_water.back().next_day = parse_day("2026-07-18").value() - std::chrono::days(pot[0] - '8');
    }
    CHECK(round_told(round, "") == R"(Lark Terrace, Tuesday 14 July 2026

Water, in walking order. Stop when it runs through.
- 3: 2.5 L
- 7: 3 L

No water for pots 8, 9; the first of them on Fri 17 July.
)");
}

TEST_CASE("windows of one job are told together, the one that ends first in front") {
    CalendarWindow one, two;
    one.title = "check stake and ties";
    one.what = "Rock the stem";
    one.opens = two.opens = parse_day("2026-07-01").value();
    one.due = two.due = one.opens;
    one.closes = parse_day("2026-08-25").value();
    two.closes = parse_day("2026-07-30").value();
    two.what = one.what;
    one.pots = {"3"};
    two.pots = {"7", "9"};
    two.source = "common practice, no source";
    CHECK(windows_title({&one, &two}) == "Check stake and ties: pots 3, 7, 9");
    CHECK(windows_told({&one, &two}) == R"(Rock the stem.

Time for it is until:
- Tue 25 August, pot 3
- Thu 30 July, pots 7, 9

Source: common practice, no source
)");
}

TEST_CASE("a walk to come is no list, and says which resting pots come back") {
    CalendarWalk walk;
    walk.walk = "morning";
    CHECK(walk_title(walk) == "Morning walk");
    CHECK(walk_told(walk, "") == "The list is made before the walk.\n");
    walk.expected = {"3"};
    CHECK(walk_title(walk) == "Morning walk");
    CHECK(walk_told(walk, "") == "The list is made before the walk.\n\nExpected back on it: pot 3.\n");
    walk.round = morning();
    CHECK(walk_title(walk) == "Morning: no water needed");
}

TEST_CASE("a list that asks for nothing says so") {
    const auto round = morning();
    CHECK_FALSE(asks_for_something(round));
    CHECK(round_title(round) == "Morning: no water needed");
    CHECK(round_told(round, "") == "Lark Terrace, Tuesday 14 July 2026\n\nNo pot needs water on this walk.\n");
    auto cared = round, warned = round, noted = round;
    cared.jobs = {stake()};
    warned.notices = {{"frost", Severity::danger, {}, "frost"}};
    noted.notices = {{"uncalibrated", Severity::note, {}, "no weighing yet"}};
    CHECK(asks_for_something(cared));
    CHECK(asks_for_something(warned));
    CHECK_FALSE(asks_for_something(noted));
    // What days off would mean was asked for, so it is told although it warns of nothing.
    auto wanted = round;
    wanted.notices = {{"days-off", Severity::note, {}, "every pot lasts"}};
    CHECK(asks_for_something(wanted));
    CHECK(round_told(wanted, "").find("Every pot lasts.") != std::string::npos);
    CHECK(round_title(cared) == "Morning: no water needed, 1 job");
}

TEST_CASE("a webhook and a topic get the list as it is") {
    auto hook = channel(NoticeChannel::Way::webhook);
    hook.url = "https://house.lan/x";
    hook.key_id = "k";
    hook.secret_file = "/etc/k";
    const auto post = errand(hook, morning());
    CHECK(post.at("body").as_string() == "{}\n");
    CHECK(post.at("key_id").as_string() == "k");
    auto topic = channel(NoticeChannel::Way::topic);
    topic.broker = {.host = "broker.lan", .topic = "garden/round", .user = {}, .secret_file = {}, .ca_file = {}};
    const auto message = errand(topic, morning());
    CHECK(message.at("kind").as_string() == "message");
    CHECK(message.at("port") == 1883);
    CHECK(message.at("body").as_string() == "{}\n");
    CHECK(message.at("client").as_string().size() == 23);  // that many every broker takes, [MQTT311] 3.1.3.1
    CHECK_FALSE(message.contains("user"));
}
