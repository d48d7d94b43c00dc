// Facts on the command line, the words of `did`, and the daybook as CSV.
#include "catch.h"
#include "intake/daybook_csv.hpp"
#include "intake/did.hpp"
#include "intake/facts.hpp"
#include "intake/tables.hpp"
#include "intake/weather_reader.hpp"

#include <algorithm>
#include <array>
#include <sstream>
#include <string>
#include <vector>

using namespace tubgrove;
using Texts = std::vector<std::string>;

namespace {

const Names names{{"south-wall", "steps"}, {"loam", "bark_peat_sand"}, {"apple", "pear"}, {"M.27", "quince C"}, {"very-dwarfing"}, {"full-bloom"}, {"7", "8", "lemon"}};

Texts messages(const Complaints& complaints) {
    Texts texts;
    for (const auto& c : complaints) texts.push_back(format(c));
    return texts;
}
std::string said(const Fault& f) { return f.what + "; " + f.right; }

std::vector<Fact> facts_of(const Texts& words) {
    auto read = parse_facts(words, names);
    CHECK(messages(read.complaints) == Texts{});
    return read.value;
}
std::string refused_fact(const std::string& word) {
    auto read = parse_facts(std::array{word}, names);
    REQUIRE(read.complaints.size() == 1);
    return format(read.complaints[0]);
}

}  // namespace

TEST_CASE("every row of the fact table takes its own example and can be withdrawn") {
    for (const auto& row : fact_rows()) {
        std::string key(row.key);
        for (auto star = key.find('*'); star != key.npos; star = key.find('*')) key.replace(star, 1, "a");
        CAPTURE(key);
        CHECK(find_fact(key) == &row);
        auto parsed = canonical_fact(key, row.example, Names{});
        REQUIRE(good(parsed));
        auto again = canonical_fact(key, good(parsed)->value, Names{});   // canonical text reads back as itself
        REQUIRE(good(again));
        CHECK(*good(again) == *good(parsed));
        CHECK(good(canonical_fact(key, "unknown", Names{})));
        CHECK_FALSE(row.help.empty());
    }
}

TEST_CASE("facts in canonical form") {
    CHECK(facts_of({"container.size=40L", "tree.a.leaves=dense", "bay=south-wall", "mulch.depth=4cm", "mulch.cover=80%", "drip.each=0.3L",
                    "drip.at=20:00,6:00", "drip.every=2d", "tree.b.crown.across=90cm by 2ft", "label= by the door "}) ==
          std::vector<Fact>{{"container.size", "40 L"}, {"tree.a.leaves", "dense"}, {"bay", "south-wall"}, {"mulch.depth", "4 cm"}, {"mulch.cover", "80 %"},
                            {"drip.each", "0.3 L"}, {"drip.at", "06:00,20:00"}, {"drip.every", "2 d"}, {"tree.b.crown.across", "90 cm by 60.96 cm"},
                            {"label", "by the door"}});
}

TEST_CASE("facts that are refused, with what would be right") {
    CHECK(refused_fact("container.size") == "'container.size' is not a fact; write KEY=VALUE, such as container.size=40L");
    CHECK(refused_fact("container.sise=40L") == "there is no fact 'container.sise'; did you mean container.size?");
    CHECK(refused_fact("tree.b.leafs=dense") == "there is no fact 'tree.b.leafs'; did you mean tree.b.leaves?");
    CHECK(refused_fact("colour=red") == "there is no fact 'colour'; facts are such as container.size=40L, medium=loam or tree.a.species=apple");
    CHECK(refused_fact("container.size=") == "container.size: there is no value; write it like container.size=40 L");
    CHECK(refused_fact("container.size=40") == "container.size: '40' has no unit; write it with its unit, like 40 L");
    CHECK(refused_fact("container.size=15gal") ==
          "container.size: the unit 'gal' may be a US or an imperial measure; write US_liquid_gallon (3.785 L) or imperial_gallon (4.546 L)");
    CHECK(refused_fact("container.size=2,5L") == "container.size: '2,5L' has a decimal comma; write 2.5 L");
    CHECK(refused_fact("container.size=0.01L") == "container.size: '0.01L' is out of range; 0.3 L to 2000 L is allowed");
    CHECK(refused_fact("bay=south-wal") == "bay: 'south-wal' is not a bay of the configuration; did you mean south-wall?");
    CHECK(refused_fact("bay=porch") == "bay: 'porch' is not a bay of the configuration; known are south-wall or steps");
    CHECK(refused_fact("tree.a.leaves=many") == "tree.a.leaves: 'many' is not a word for it; write few, usual or dense");
    CHECK(refused_fact("tree.a.stage.full-blom=2026-04-20") == "'full-blom' is not a known stage of growth; did you mean full-bloom?");
    CHECK(refused_fact("tree.a.planted=12.11.2023") == "tree.a.planted: '12.11.2023' is not a day of the calendar; write year, month and day, like 2026-03-02");
    CHECK(refused_fact("tree.a.planted=0001-01-01") == "tree.a.planted: the day 0001-01-01 is out of range; 1850-01-01 to 2200-01-01 is allowed");
    CHECK(refused_fact("tree.a.graft_taken=maybe") == "tree.a.graft_taken: 'maybe' is neither yes nor no; write yes or no");
    CHECK(refused_fact("drip.at=6 pm") == "drip.at: '6 pm' is not a time of day; write it like 06:00,20:00");
    CHECK(refused_fact("drip.every=1.5d") == "drip.every: '1.5d' is not a whole number of days; write it like 2 d");
    CHECK(refused_fact("mulch=yes") == "mulch: 'yes' is not a value for it; write no, or a fact below it");
    CHECK(refused_fact("tree.A.leaves=few") == "'A' can not be a tree's id; write one to eight small letters or digits, such as a");
    CHECK(refused_fact("label=a\nb") == "label: 'a\\x0Ab' holds a control byte; write one line of plain text");
    CHECK(messages(parse_facts(std::vector<std::string>{"bay=steps", "nonsense", "bay=steps"}, names).complaints) ==
          Texts{"'nonsense' is not a fact; write KEY=VALUE, such as container.size=40L", "bay is given twice; keep one of them"});
}

TEST_CASE("later facts win, and withdrawals take effect") {
    auto facts = merge({}, facts_of({"container.top=42cm", "container.height=38cm", "container.wall=clay", "mulch.depth=4cm", "mulch.cover=80%", "tree.a.species=apple",
                                     "tree.b.species=pear", "container.saucer=2L", "medium=loam"}));
    facts = merge(facts, facts_of({"container.size=50L", "mulch=no", "tree.b=gone", "container.saucer=no", "medium=unknown"}));
    CHECK(facts == Facts{{"container.size", "50 L"}, {"container.wall", "clay"}, {"tree.a.species", "apple"}});
    facts = merge(facts, facts_of({"container.top=40cm", "container.height=30cm"}));
    CHECK(facts == Facts{{"container.top", "40 cm"}, {"container.height", "30 cm"}, {"container.wall", "clay"}, {"tree.a.species", "apple"}});
}

TEST_CASE("facts as the model needs them") {
    auto since = *parse_day("2026-03-02");
    auto read = setup_of("7", merge({}, facts_of({"bay=steps", "container.size=40L", "container.wall=clay", "container.colour=light", "medium=loam", "mulch.depth=4cm",
                                                   "drip.each=0.3L", "drip.at=06:00,20:00", "drip.every=2d", "tree.a.species=apple", "tree.a.rootstock=M.27",
                                                   "tree.a.planting=bare-root", "tree.a.crown.across=90cm by 80cm", "tree.a.crown.height=140cm",
                                                   "tree.a.stage.full-bloom=2026-04-20", "tree.a.leaf_share=80%", "tree.b.species=pear", "tree.b.graft_taken=no"})),
                         since);
    CHECK(messages(read.complaints) == Texts{});
    const auto& s = read.value;
    CHECK(litres(*s.container.size) == 40);
    CHECK(s.container.wall == Wall::clay);
    CHECK(s.container.colour == Colour::light);
    CHECK(s.mulch->cover == 1.0);
    CHECK(s.drip->at.size() == 2);
    CHECK(s.drip->every_days == 2);
    CHECK(s.drip->first == since);
    REQUIRE(s.trees.size() == 2);
    CHECK(s.trees[0].planting == Planting::bare_root);
    CHECK(cm(s.trees[0].crown->across_2) == 80);
    CHECK(s.trees[0].crown->measured == since);
    CHECK(s.trees[0].stages.at("full-bloom") == *parse_day("2026-04-20"));
    CHECK(s.trees[0].leaf_share == Approx(0.8));
    CHECK(s.trees[1].graft_taken == false);
    CHECK(s.exposure.bay == "steps");
    CHECK(setup_of("7", {{"container.form", "bag"}}, since).value.container.wall == Wall::fabric);
}

TEST_CASE("a lemon is a citrus, on the stocks of one, and keeps its name") {
    const Tables tables = read_tables().value;
    const Names known = names_of(tables);
    for (const char* name : {"citrus", "lemon", "lime", "orange", "mandarin"}) {
        CAPTURE(name);
        const auto fact = canonical_fact("tree.a.species", name, known);
        REQUIRE(good(fact));
        CHECK(good(fact)->value == name);
        REQUIRE(tables.one_species(name));
        CHECK(tables.one_species(name)->key == "citrus");
        CHECK(tables.one_species(name)->evergreen);
    }
    CHECK(tables.one_species("lemons") == nullptr);
    CHECK(fault(canonical_fact("tree.a.species", "lemmon", known)).right == "did you mean lemon?");
    for (const char* stock : {"trifoliate orange", "Flying Dragon"}) {
        REQUIRE(tables.rootstock(stock));
        CHECK(tables.rootstock(stock)->species == "citrus");
    }
    CHECK(tables.rootstock("Flying Dragon")->crown_max_m2 < tables.rootstock("trifoliate orange")->crown_max_m2);
    CHECK(std::ranges::find(known.stages, "harvest-over") != known.stages.end());
}

TEST_CASE("a pot that is not whole says what is missing") {
    LocalDay since{};
    auto wrong = [&](const Texts& words) { return messages(setup_of("7", merge({}, facts_of(words)), since).complaints); };
    CHECK(wrong({}) == Texts{"pot 7: its size is not known; give container.size=40L, or container.top and container.height",
                             "pot 7: no tree stands in it; give tree.a.species=apple", "pot 7: nobody said where it stands; give bay=NAME"});
    CHECK(wrong({"bay=steps", "tree.a.species=apple", "container.top=40cm"}) ==
          Texts{"pot 7: it has measured sides but not both top and height; give container.top and container.height, or container.size"});
    CHECK(wrong({"bay=steps", "tree.a.leaves=few", "container.size=3L", "tree.a.ball=5L", "tree.a.crown.height=1m", "mulch.cover=50%", "drip.each=1L"}) ==
          Texts{"pot 7: the species of tree a is not known; give tree.a.species=apple", "pot 7: the root ball of tree a is larger than the pot; check tree.a.ball",
                "pot 7: the crown of tree a has a height but no width; give tree.a.crown.across=90cm",
                "pot 7: the mulch has a cover but no depth; give mulch.depth=4cm, or mulch=no",
                "pot 7: the drip supply needs both an amount and times; give drip.each=0.3L and drip.at=06:00, or drip=no"});
    CHECK(wrong({"bay=steps", "tree.a.species=apple", "container.form=oblong", "container.top=40cm", "container.height=30cm", "container.base=90cm"}) ==
          Texts{"pot 7: an oblong or oval pot needs its short side too; give container.top_across=30cm",
                "pot 7: its base is more than half as wide again as its top; check which is which"});
}

TEST_CASE("pots' ids") {
    for (const char* id : {"7", "lemon-2", "trough", "North_3", "zitrone", "föhre"}) CHECK_FALSE(wrong_pot_id(id));
    for (const char* id : {"", "7.a", "a b", "-7", "x=y", "a/b", "abcdefghijklmnopqrstuvwxyz"}) CHECK(wrong_pot_id(id));
    CHECK(said(*wrong_pot_id("a b")) == "'a b' can not be a pot's id; use 1 to 24 letters, digits, - or _, such as 7 or lemon-2");
    CHECK(said(*wrong_pot_id("all")) == "'all' can not be a pot's id, since it is a word of the commands; call it pot-all, or as its label says");
    for (const auto& action : actions()) CHECK(wrong_pot_id(action.word));
}

TEST_CASE("what was done") {
    auto did = [](const Texts& words) {
        auto parsed = parse_did(words, names);
        if (!good(parsed)) FAIL(said(fault(parsed)));
        return *good(parsed);
    };
    auto poured = did({"7", "8", "watered", "2,5L"});
    CHECK(poured.pots == Texts{"7", "8"});
    CHECK(poured.action == "watered");
    CHECK(poured.values == std::map<std::string, std::string>{{"amount_l", "2.5"}});
    CHECK(did({"7", "watered", "2.5", "L"}).values.at("amount_l") == "2.5");
    CHECK(did({"7", "ran-through"}).values.empty());
    CHECK(did({"7", "ran-through", "2L"}).values.at("amount_l") == "2");
    CHECK(did({"7", "felt", "barely-moist"}).values.at("class") == "barely-moist");
    CHECK(did({"7", "weighed", "8.4kg"}).values.at("mass_kg") == "8.4");
    CHECK(did({"7", "mulched", "4cm"}).values.at("depth_cm") == "4");
    CHECK(did({"7", "moved", "steps"}).values.at("bay") == "steps");
    CHECK(did({"7", "pruned", "20%"}).values.at("share_pct") == "20");
    CHECK(did({"7.b", "stage", "full-bloom"}).values == std::map<std::string, std::string>{{"stage", "full-bloom"}, {"tree", "b"}});
    CHECK(did({"7", "crown", "90cm", "by", "80cm", "high", "140cm"}).values ==
          std::map<std::string, std::string>{{"across_1_cm", "90"}, {"across_2_cm", "80"}, {"height_cm", "140"}});
    CHECK(did({"7", "crown", "90cm"}).values.at("across_2_cm") == "90");
    CHECK(did({"7", "repotted", "container.size=50L", "medium=loam"}).values == std::map<std::string, std::string>{{"container.size", "50 L"}, {"medium", "loam"}});
    CHECK(did({"7", "noted", "a", "snail"}).values.at("text") == "a snail");
    CHECK(did({"7", "shaded", "wall"}).values.at("text") == "wall");
    CHECK(did({"7", "shaded", "cloth"}).values.at("text") == "cloth");
    CHECK(did({"7", "shaded", "40%"}).values.at("share_pct") == "40");
    CHECK(did({"7", "shaded", "cloth", "40%"}).values == std::map<std::string, std::string>{{"share_pct", "40"}});
    CHECK(did({"7", "shaded"}).values.empty());
    CHECK(did({"7", "saw", "Weeds", "at the rim"}).values.at("text") == "weeds at the rim");
    CHECK(did({"7", "saw", "Weeds"}).remarks.empty());
    const auto odd = did({"7", "saw", "Wedds"});
    CHECK(odd.values.at("text") == "Wedds");
    REQUIRE(odd.remarks.size() == 1);
    CHECK(odd.remarks[0].starts_with("'Wedds' is kept as words; what counts is blight, moth, "));
    CHECK(odd.remarks[0].ends_with("; did you mean weeds?"));
    // Where any words may follow, a word that is nearly one that counts is told, and no other.
    CHECK(did({"7", "picked", "Keep"}).values.at("text") == "keep");
    const auto kept = did({"7", "picked", "kep", "2 kg"});
    CHECK(kept.values.at("text") == "kep 2 kg");
    CHECK(kept.remarks == Texts{"'kep' is kept as words; what counts is keep; did you mean keep?"});
    CHECK(did({"7", "looked", "scabb"}).remarks.size() == 1);
    CHECK(did({"7", "picked", "the", "first", "nine"}).remarks.empty());
    CHECK(did({"7", "picked"}).values.empty());
    CHECK(did({"round", "some"}).values.at("poured") == "some");
    CHECK(did({"round", "2026-07-14-morning", "all"}).round == "2026-07-14-morning");
    for (const auto& action : actions()) {   // the help's own examples
        Texts words{"7"};
        std::string_view rest = action.example;
        while (!rest.empty()) {
            auto word = rest.substr(0, rest.find(' '));
            words.emplace_back(word);
            rest.remove_prefix(std::min(rest.size(), word.size() + 1));
        }
        CHECK(did(words).action == action.word);
    }
}

TEST_CASE("what can not have been done") {
    auto wrong = [](const Texts& words) {
        auto parsed = parse_did(words, names);
        REQUIRE_FALSE(good(parsed));
        return said(fault(parsed));
    };
    CHECK(wrong({}) == "nothing was said; write: did POT… ACTION, such as did 7 watered 2.5L");
    CHECK(wrong({"7"}) == "there is no action in '7'; write: did POT… ACTION, such as did 7 watered 2.5L");
    CHECK(wrong({"7", "waterd", "2L"}) == "'waterd' is not an action; did you mean watered?");
    CHECK(wrong({"watered", "2L"}) == "watered: no pot is named; write it like: did 7 watered 2.5L");
    CHECK(wrong({"77", "watered", "2L"}) == "there is no pot '77'; did you mean 7?");
    CHECK(wrong({"lemno", "watered", "2L"}) == "there is no pot 'lemno'; did you mean lemon?");
    CHECK(wrong({"oak", "watered", "2L"}) == "there is no pot 'oak'; `pot list` shows the pots");
    CHECK(wrong({"7", "7", "watered", "2L"}) == "the pot 7 is named twice; name it once");
    CHECK(wrong({"7", "watered"}) == "watered needs an amount; write it like: did 7 watered 2.5L");
    CHECK(wrong({"7", "watered", "2"}) == "watered: '2' has no unit; write it with its unit, like 2L");
    CHECK(wrong({"7", "watered", "2", "gal"}) ==
          "watered: the unit 'gal' may be a US or an imperial measure; write US_liquid_gallon (3.785 L) or imperial_gallon (4.546 L)");
    CHECK(wrong({"7", "watered", "1,000L"}) == "watered: '1,000L' may be read with a decimal comma or with a thousands comma; write 1.000 L or 1000 L");
    CHECK(wrong({"7", "watered", "2L", "3L"}) == "watered takes one amount, but '2L 3L' is more than one; write it like: did 7 watered 2.5L");
    CHECK(wrong({"7", "watered", "2", "L", "07:30"}) ==
          "watered: 'L 07:30' is not a unit; write a UDUNITS name such as cm, L, kg, degC or m s-1");   // a time is no second amount
    CHECK(wrong({"7", "felt", "damp"}) == "felt: 'damp' is not known; write dry, barely-moist, moist or wet");
    CHECK(wrong({"7", "felt", "mosit"}) == "felt: 'mosit' is not known; did you mean moist?");
    CHECK(wrong({"7", "weeded", "well"}) == "weeded takes nothing, but 'well' follows; write other remarks as a note");
    CHECK(wrong({"7", "moved", "step"}) == "moved: 'step' is not known; did you mean steps?");
    CHECK(wrong({"7.b", "watered", "2L"}) == "watered concerns the whole pot, not tree 'b'; write: did 7 watered 2.5L");
    CHECK(wrong({"7.b", "8", "died"}) == "a tree is named beside several pots; write one entry a tree, such as: did 7.b died");
    CHECK(wrong({"7", "repotted", "medium=lom"}) == "repotted: medium: 'lom' is not a known medium; did you mean loam?");
    CHECK(wrong({"7", "crown", "wide"}) == "crown: 'wide' does not begin with a number; write it like 90cm");
    CHECK(wrong({"7", "shaded", "Wall"}) == "shaded: 'Wall' is not known; did you mean wall?");
    CHECK(wrong({"7", "shaded", "deeply"}) == "shaded: 'deeply' is not known; write cloth or wall");
    CHECK(wrong({"7", "saw"}) == "saw needs a word; write it like: did 7 saw blight");
    CHECK(wrong({"round", "al"}) == "'al' does not answer for a round; did you mean all?");
    CHECK(wrong({"round"}) == "`did round` needs an answer; write: did round all, some or none, with the round's id before it if it is not the last one");
}

TEST_CASE("the daybook as CSV reads back") {
    Entry e;
    e.id = 12;
    e.pot = "7";
    e.action = "watered";
    e.values = {{"amount_l", "2.5"}, {"odd;key", "a=b\\c"}};
    e.when = *parse_rfc3339("2026-07-14T07:10:00+02:00");
    e.learned = *parse_rfc3339("2026-07-14T07:12:00+02:00");
    e.clock = Clock::phone;
    e.by = "Ada";
    e.note = "said \"enough\",\nthen left";
    e.round = "2026-07-14-morning";
    e.strikes = 11;
    auto csv = write_daybook(std::array{e}, {}, *Zone::find("Europe/Budapest"));
    CHECK(csv == "id,when,learned,clock,pot,action,values,by,note,round,strikes\r\n"
                 "12,2026-07-14T07:10:00+02:00,2026-07-14T07:12:00+02:00,phone,7,watered,amount_l=2.5;odd\\;key=a\\=b\\\\c,Ada,"
                 "\"said \"\"enough\"\",\nthen left\",2026-07-14-morning,11\r\n");
    auto read = read_daybook("d.csv", csv);
    CHECK(messages(read.complaints) == Texts{});
    REQUIRE(read.value.entries.size() == 1);
    const auto& back = read.value.entries[0];
    CHECK((back.id == e.id && back.pot == e.pot && back.action == e.action && back.values == e.values && back.when == e.when));
    CHECK((back.learned == e.learned && back.clock == e.clock && back.by == e.by && back.note == e.note && back.round == e.round && back.strikes == e.strikes));
}

TEST_CASE("the lists that a daybook answers go along with it") {
    ListInDaybook list, nothing;
    list.round.id = "2026-07-14-morning";
    list.round.issued = *parse_rfc3339("2026-07-14T06:00:00+02:00");
    list.learned = list.round.issued;
    PourLine line;
    line.pot = "7";
    line.pour_l = 2.5;
    line.passes = 2;
    line.until = Until::run_through;
    list.round.pours = {line};
    nothing.round.id = "2026-07-15-morning";
    const auto zone = *Zone::find("Europe/Budapest");
    const auto csv = write_daybook({}, std::array{list, nothing}, zone);
    CHECK(csv.ends_with(",2026-07-14T06:00:00+02:00,2026-07-14T06:00:00+02:00,board,,issued,,,,2026-07-14-morning,\r\n"
                        ",2026-07-14T06:00:00+02:00,2026-07-14T06:00:00+02:00,board,7,listed,passes=2;pour_l=2.5;until=run-through,,,2026-07-14-morning,\r\n"
                        ",1970-01-01T01:00:00+01:00,1970-01-01T01:00:00+01:00,board,,issued,,,,2026-07-15-morning,\r\n"));
    const auto read = read_daybook("d.csv", csv);
    CHECK(messages(read.complaints) == Texts{});
    REQUIRE(read.value.lists.size() == 2);
    REQUIRE(read.value.lists[0].round.pours.size() == 1);
    const auto& back = read.value.lists[0].round.pours[0];
    CHECK((back.pot == "7" && back.pour_l == 2.5 && back.passes == 2 && back.until == Until::run_through));
    CHECK(read.value.lists[1].round.pours.empty());
    const std::string head = "id,when,learned,clock,pot,action,values,by,note,round,strikes\n";
    const auto bad = read_daybook("d.csv", head + ",2026-07-14T06:00:00Z,2026-07-14T06:00:00Z,board,7,listed,pour_l=2;passes=1,,,2026-07-14-morning,\n"
                                                  ",2026-07-14T06:00:00Z,2026-07-14T06:00:00Z,board,7,listed,pour_l=many,,,2026-07-14-morning,\n");
    REQUIRE(bad.complaints.size() == 2);
    CHECK(bad.complaints[0].what == "the list of this line is not above it");
    CHECK(bad.complaints[1].what == "this is no line of a list");
}

TEST_CASE("bad lines of a daybook are refused one by one") {
    auto read = read_daybook("d.csv",
                             "id,when,learned,clock,pot,action,values,by,note,round,strikes\n"
                             "1,2026-07-14,2026-07-14T07:12:00Z,sun,7,watered,amount_l,,,,\n"
                             "2,2026-07-14T07:10:00Z,2026-07-14T07:12:00Z,board,7,weeded,,,,,\n"
                             "x,2026-07-14T07:10:00Z,2026-07-14T07:12:00Z,board,7,,,,,,0\n"
                             "4,too,short\n"
                             "5,2026-07-14T07:10:00Z,2026-07-14T07:12:00Z,board,7,noted,,,\"open,,\n");
    CHECK(messages(read.complaints) == Texts{"d.csv:2:3: when: '2026-07-14' is not a time; write RFC 3339 with the offset, like 2026-07-14T07:10:00+02:00",
                                             "d.csv:2:35: clock: 'sun' is not known; write board, phone or unknown",
                                             "d.csv:2:49: values: 'amount_l' is not key=value; write key=value;key=value",
                                             "d.csv:4:1: id: 'x' is not an entry's number; write a whole number from 1",
                                             "d.csv:4:53: there is no action; write what was done, such as watered",
                                             "d.csv:4:58: strikes: '0' is not an entry's number; write a whole number from 1",
                                             "d.csv:5: the line has 3 cells; give 11", "d.csv:6: a quote is not closed; repair or remove the line"});
    CHECK(read.value.entries.size() == 1);
    CHECK(messages(read_daybook("d.csv", "").complaints) == Texts{"d.csv: the file is empty; begin with id,when,learned,clock,pot,action,values,by,note,round,strikes"});
    CHECK(messages(read_daybook("d.csv", "a,b\n").complaints) ==
          Texts{"d.csv:1: this is not a daybook: its first line differs; begin with id,when,learned,clock,pot,action,values,by,note,round,strikes"});
}

TEST_CASE("what nobody could have told here is no line of a daybook") {
    const auto complaints = [](const std::string& action, const std::string& values, const std::string& pot = "7", const std::string& more = ",,,") {
        return messages(read_daybook("d.csv", "id,when,learned,clock,pot,action,values,by,note,round,strikes\n"
                                              "1,2026-07-14T07:10:00Z,2026-07-14T07:12:00Z,board," + pot + "," + action + "," + values + "," + more + "\n").complaints);
    };
    CHECK(complaints("unsaw", "") == Texts{"d.csv:2:53: 'unsaw' is not an action; write what was done, such as watered"});
    CHECK(complaints("waterd", "amount_l=3") == Texts{"d.csv:2:53: 'waterd' is not an action; did you mean watered?"});
    CHECK(complaints("watered", "amount_l=-3").at(0).starts_with("d.csv:2:61: watered: amount_l: "));
    const std::vector<std::pair<std::string, std::string>> beyond{
        {"watered", "amount_l=0"}, {"watered", "amount_l=501"}, {"watered", ""}, {"watered", "amount_l=2.5L"}, {"ran-through", "amount_l=1e300"}, {"ran-through", "amount_l=inf"},
        {"weighed", "mass_kg=-5"}, {"weighed", ""}, {"weighed-drained", "mass_kg=3000"}, {"shaded", "share_pct=1000"}, {"shaded", "share_pct=nan"}, {"pruned", "share_pct=101"},
        {"mulched", "depth_cm=31"}, {"top-dressed", "depth_cm=0"}, {"felt", "class=damp"}, {"felt", ""}, {"moved", ""}, {"stage", ""}, {"crown", "across_1_cm=90"},
        {"crown", "across_1_cm=90;across_2_cm=0"}, {"repotted", "container.size=-4 L"}, {"added", "container.size=blue"}, {"changed", "container.sise=40 L"},
        {"round", "poured=all"}, {"struck", ""}, {"job-waits", "job=7.thin.2026;until=soon"}, {"job-dropped", "text=no fruit"}};
    for (const auto& [action, values] : beyond) {
        INFO(action << ' ' << values);
        CHECK(complaints(action, values).size() == 1);
    }
    CHECK(complaints("round", "poured=most", "", ",,2026-07-14-morning,").size() == 1);
    CHECK(complaints("watered", "amount_l=3", "") == Texts{"d.csv:2:52: watered: no pot is named; write the pot's id"});
}

TEST_CASE("whatever can be told, in an export, is taken whole") {
    std::vector<Entry> entries;
    const auto add = [&](std::string action, std::map<std::string, std::string> values) {
        Entry e;
        e.id = std::int64_t(entries.size()) + 1;
        e.pot = "7";
        e.action = std::move(action);
        e.values = std::move(values);
        entries.push_back(std::move(e));
    };
    const auto tell = [&](const std::string& words) {
        Texts split{"7"};
        std::istringstream in(words);
        for (std::string word; in >> word;) split.push_back(word);
        const auto did = parse_did(split, {});
        INFO(words);
        REQUIRE(good(did));
        add(good(did)->action, good(did)->values);
    };
    for (const auto& action : actions()) {
        tell(std::string(action.example));
        const bool alone = action.takes == Takes::nothing || action.takes == Takes::maybe_litres || action.takes == Takes::depth || action.takes == Takes::share || action.takes == Takes::shade;
        if (alone) tell(std::string(action.word));
    }
    for (const char* edge : {"watered 0.001L", "watered 500L", "watered 2,5L", "mulched 0.5cm", "mulched 30cm", "weighed 0.05kg", "weighed 2000kg", "shaded wall", "shaded 0%", "pruned 100%", "crown 1cm by 1000cm"}) tell(edge);
    for (const auto& row : fact_rows()) {
        if (row.kind == FactKind::group) continue;
        std::string key(row.key);
        if (const auto star = key.find('*'); star != std::string::npos) key.replace(star, 1, key.starts_with("tree.") ? "a" : "full-bloom");
        if (const auto star = key.find('*'); star != std::string::npos) key.replace(star, 1, "full-bloom");
        const auto fact = canonical_fact(key, row.example, {});
        INFO(key << '=' << row.example);
        REQUIRE(good(fact));
        add("changed", {{good(fact)->key, good(fact)->value}});
        add("added", {{key, "unknown"}});
    }
    add("changed", {{"mulch", "no"}, {"tree.b", "gone"}});
    add("retired", {});
    add("clock-confirmed", {});
    entries.back().pot.clear();
    add("round", {{"poured", "some"}});
    entries.back().pot.clear();
    entries.back().round = "2026-07-14-morning";
    add("struck", {});
    entries.back().strikes = 1;
    add("job-waits", {{"job", "7.thin.2026"}, {"until", "2026-06-05"}});
    add("job-dropped", {{"job", "7.thin.2026"}, {"text", "no fruit; = none"}});
    const auto read = read_daybook("d.csv", write_daybook(entries, {}, *Zone::find("Europe/Budapest")));
    CHECK(messages(read.complaints) == Texts{});
    REQUIRE(read.value.entries.size() == entries.size());
    for (std::size_t i = 0; i < entries.size(); ++i) {
        CHECK(read.value.entries[i].action == entries[i].action);
        CHECK(read.value.entries[i].values == entries[i].values);
    }
}

TEST_CASE("weather by hand") {
    auto note = [](const Texts& words) { return parse_weather_note(words); };
    auto read = note({"max=31degC", "min=63 degF", "rain=3mm"});
    CHECK(messages(read.complaints) == Texts{});
    REQUIRE(read.value.values.size() == 3);
    CHECK(read.value.values[1].first == Channel::air_temperature_min);
    CHECK(read.value.values[1].second == Approx(155.0 / 9));
    CHECK(note({"hot", "rain=0mm"}).value.word == "hot");
    CHECK(messages(note({"max=31", "mim=3degC", "rain=3", "rain=3mm", "rain=4mm", "warm"}).complaints) ==
          Texts{"max: '31' has no unit; write it with its unit, like 31degC", "'mim=3degC' is not understood; did you mean min?",
                "rain: '3' has no unit; write it with its unit, like 3mm", "rain is given twice; keep one of them",
                "'warm' is not understood; write max=31degC min=17degC rain=3mm, or cool, usual or hot"});
    CHECK(messages(note({"max=10degC", "min=17degC"}).complaints) == Texts{"min 17 degC is above max 10 degC; change them over"});
    CHECK(messages(note({"hot", "max=31degC"}).complaints) == Texts{"both a word and a temperature are given; keep one of them"});
    CHECK(messages(note({"hot", "cool"}).complaints) == Texts{"hot and cool are both given; keep one of them"});
    CHECK(messages(note({}).complaints) == Texts{"nothing was said; write max=31degC min=17degC rain=3mm, or cool, usual or hot"});
}
