// How lists are told, as the configuration says it: read whole, refused in words with their place, and told by `check`.
#include "catch.h"
#include "intake/read_configuration.hpp"

#include <algorithm>

using namespace tubgrove;
using namespace std::chrono_literals;

namespace {

using Texts = std::vector<std::string>;

const std::string site = "site: {latitude: 47.9, longitude: 20.3, elevation: 340 m, timezone: Europe/Budapest}\nbays: [{id: b}]\n";

Notices read(const std::string& notices) {
    const auto found = read_configuration("t.yaml", site + "notices:\n" + notices);
    CHECK(found.complaints.empty());
    return found.value.notices;
}

Texts complaints(const std::string& notices) {
    Texts texts;
    for (const auto& one : read_configuration("t.yaml", site + "notices:\n" + notices).complaints) texts.push_back(format(one));
    return texts;
}

bool described(const std::string& notices, const std::string& line) {
    const auto lines = describe(read_configuration("t.yaml", site + "notices:\n" + notices).value);
    return std::ranges::find(lines, line) != lines.end();
}

const std::string mail = "  mail:\n    - {name: ana, server: smtps://mail.example.org, from: Pots <pots@example.org>, to: [ana@example.org]";

}  // namespace

TEST_CASE("a mail, a webhook and a topic are read whole") {
    const auto notices = read("  quiet: {from: 21:30, to: 6:30}\n" + mail +
                              ", user: u, secret_file: /etc/s, ca_file: /etc/ca.pem, tls: no, quiet: no, when: always}\n"
                              "  webhook:\n    - {name: hook, url: \"https://house.lan/x?y=1\", key_id: k, secret_file: /etc/k, proxy: http://p.lan:3128}\n"
                              "  broker:\n    - {name: display, host: broker.lan, topic: garden/round, tls: yes, when: needed}\n");
    REQUIRE(notices.quiet);
    CHECK(notices.quiet->from == 21h + 30min);
    CHECK(notices.quiet->to == 6h + 30min);
    REQUIRE(notices.channels.size() == 3);
    const auto &first = notices.channels[0], &second = notices.channels[1], &third = notices.channels[2];
    CHECK(first.way == NoticeChannel::Way::mail);
    CHECK(first.url == "smtps://mail.example.org");
    CHECK(first.from == "Pots <pots@example.org>");
    CHECK(first.to == Texts{"ana@example.org"});
    CHECK(first.user == "u");
    CHECK(first.secret_file == "/etc/s");
    CHECK_FALSE(first.tls);
    CHECK_FALSE(first.quiet);
    CHECK(first.always);
    CHECK(second.way == NoticeChannel::Way::webhook);
    CHECK(second.url == "https://house.lan/x?y=1");
    CHECK(second.key_id == "k");
    CHECK(second.proxy == "http://p.lan:3128");
    CHECK(second.always);
    CHECK(second.quiet);
    CHECK(third.way == NoticeChannel::Way::topic);
    CHECK(third.broker.topic == "garden/round");
    CHECK(broker_port(third.broker) == 8883);
    CHECK_FALSE(third.always);
}

TEST_CASE("days off are told of when it is wanted, on any day of the week") {
    CHECK_FALSE(read(mail + "}\n").days_off);
    CHECK_FALSE(read("  days_off: no\n").days_off);   // switched off as other keys are
    CHECK_FALSE(read("  days_off: false\n").days_off);
    CHECK_FALSE(read("  quiet: no\n").quiet);
    CHECK(complaints("  days_off: never\n").size() == 1);
    const auto usual = read("  days_off: {}\n").days_off, own = read("  days_off: {told: sunday, days: 3}\n").days_off;
    REQUIRE(usual);
    CHECK(std::chrono::weekday(unsigned(usual->told_on)) == std::chrono::Friday);
    CHECK(usual->days == 2);
    REQUIRE(own);
    CHECK(std::chrono::weekday(unsigned(own->told_on)) == std::chrono::Sunday);
    CHECK(own->days == 3);
    CHECK(described("  days_off: {told: thursday, days: 1}\n", "days off: the list of thursday tells what a day without a walk would mean"));
    REQUIRE(complaints("  days_off: {told: weekend}\n").size() == 1);
    CHECK_THAT(complaints("  days_off: {told: fryday}\n").at(0), ContainsSubstring("did you mean friday?"));
    CHECK(complaints("  days_off: {days: 0}\n").size() == 1);
    CHECK(complaints("  days_off: {days: 8}\n").size() == 1);
    CHECK(complaints("  days_off: {day: friday}\n").size() == 1);
}

TEST_CASE("left out, a mail asks for TLS, keeps quiet hours and comes when there is something to do") {
    const auto notices = read(mail + "}\n");
    CHECK(notices.channels.at(0).tls);
    CHECK(notices.channels.at(0).quiet);
    CHECK_FALSE(notices.channels.at(0).always);
    CHECK_FALSE(notices.quiet);
    CHECK(read_configuration("t.yaml", site).value.notices.channels.empty());
}

TEST_CASE("what does not fit is refused with its place and what would be right") {
    CHECK(complaints("  mail:\n    - {name: a}\n") ==
          Texts{"t.yaml:5:7: mail has no server; add `server: smtps://mail.example.org`",
                "t.yaml:5:7: mail has no from; add `from: Pots <pots@example.org>`",
                "t.yaml:5:7: mail has no to; add `to: [someone@example.org]`"});
    const auto one = [](const std::string& notices, const std::string& words) {
        const auto all = complaints(notices);
        INFO(notices);
        REQUIRE(all.size() == 1);
        INFO(all[0]);
        CHECK(all[0].find(words) != std::string::npos);
        CHECK(all[0].starts_with("t.yaml:"));
    };
    one(mail + ", servr: x}\n", "did you mean server?");
    one(mail + ", user: u}\n", "t.yaml:5:7: mail: user and secret_file belong together; give both, or neither");
    one(mail + ", ca_file: house.pem}\n", "is no whole path");
    one(mail + ", when: sometimes}\n", "when: 'sometimes'");
    one("  mail:\n    - {name: a, server: mail.example.org, from: a@b.c, to: [a@b.c]}\n",
        "t.yaml:5:25: mail: server: 'mail.example.org' is no mail server; write it like smtps://mail.example.org, or smtp://mail.example.org:587");
    one("  mail:\n    - {name: a, server: \"https://x\", from: a@b.c, to: [a@b.c]}\n", "is no mail server");
    one("  mail:\n    - {name: a, server: \"smtps://x\", from: ana, to: [a@b.c]}\n", "'ana' is no address of a mail");
    one("  mail:\n    - {name: a, server: \"smtps://x\", from: a@b.c, to: [\"a@b.c, d@e.f\"]}\n", "is no address of a mail");
    one("  mail:\n    - {name: a, server: \"smtps://x\", from: a@b.c, to: [\"A <a@b.c\"]}\n", "is no address of a mail");
    one("  mail:\n    - {name: a, server: \"smtps://x\", from: a@b.c, to: [a@b.c, a@b.c]}\n", "is given twice");
    one("  mail:\n    - {name: a, server: \"smtps://x\", from: a@b.c, to: []}\n", "to is empty");
    one("  webhook:\n    - {name: a, url: house.lan}\n", "is no address to post to");
    one("  webhook:\n    - {name: a, url: \"http://h\", key_id: k}\n", "key_id and secret_file belong together");
    one("  broker:\n    - {name: a, host: b, topic: garden/#}\n", "is no topic to write to; write it like garden/round, without + and #");
    one("  broker:\n    - {name: a, host: b, topic: t, ca_file: /c}\n", "broker: ca_file is for TLS only; add tls: yes");
    one("  broker:\n    - {name: a, host: b, topic: t}\n    - {name: a, host: c, topic: t}\n", "the name 'a' is given twice, first in line 5");
    one("  broker:\n    - {name: a b, host: b, topic: t}\n", "'a b' can not be a name");
    one("  quiet: {from: 21:30, to: 21:30}\n", "from and to are the same");
    one("  quiet: {from: 25:00, to: 06:00}\n", "'25:00' is not a time of day; write it like 21:30");
    one("  mial:\n    - {name: a}\n", "did you mean mail?");
    std::string many = "  broker:\n";
    for (int i = 0; i < 17; ++i) many += "    - {name: a" + std::to_string(i) + ", host: b, topic: t}\n";
    one(many, "a list would be told 17 times; at most 16; a mailing list reaches more people");
}

TEST_CASE("check says what was understood, and no secret") {
    const auto all = "  quiet: {from: 21:30, to: 06:30}\n" + mail + ", user: u, secret_file: /etc/s}\n"
                     "  webhook:\n    - {name: hook, url: https://house.lan/x, key_id: k, secret_file: /etc/k, quiet: no}\n"
                     "  broker:\n    - {name: display, host: broker.lan, topic: garden/round}\n";
    CHECK(described(all, "quiet hours: from 21:30 to 06:30"));
    CHECK(described(all, "mail ana: to ana@example.org through smtps://mail.example.org, with TLS only; lists that ask for something"));
    CHECK(described(all, "webhook hook: posted to https://house.lan/x, signed with the key k; every list, also in quiet hours"));
    CHECK(described(all, "broker display: kept on garden/round at broker.lan:1883; every list"));
}
