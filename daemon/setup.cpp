#include "setup.hpp"

#include "garden/site_doubts.hpp"
#include "intake/garden_file.hpp"
#include "intake/quantity.hpp"
#include "phrases.hpp"
#include "zone_names.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>
#include <fstream>

namespace tubgrove {
namespace {

using Checked = Parsed<std::string>;
using Check = std::function<Checked(const std::string&)>;

std::string with_point(std::string text) {
    std::ranges::replace(text, ',', '.');
    return text;
}

// Where the question names the unit, a number alone is in it: "8" and "8 m" are the same answer. Elsewhere a number needs its unit.
std::string in_unit(const std::string& said, const std::string& unit) {
    const bool bare = said.find_first_not_of("0123456789.,- ") == std::string::npos;
    return bare ? with_point(said) + " " + unit : said;
}

Check quantity_check(std::string unit, double low, double high, std::string example) {
    return [=](const std::string& said) -> Checked {
        const auto read =
            parse_quantity(in_unit(said, unit), {.unit = unit, .low = low, .high = high, .example = example, .decimal_comma = true});
        if (good(read) == nullptr) return Fault{fault(read).what, "a number such as " + example};
        return decimal(*good(read)) + " " + unit;
    };
}

// Degrees, minutes and seconds as phones and maps write them, 47°54'12"; empty for anything else.
std::optional<double> sexagesimal(std::string_view text) {
    constexpr std::array<std::string_view, 3> closing[] = {{"\u00b0", "deg", "d"}, {"'", "\u2032", "m"}, {"\"", "\u2033", "s"}};
    double degrees = 0, part = 1;
    bool any = false;
    for (const auto& marks : closing) {
        while (text.starts_with(' ')) text.remove_prefix(1);
        if (text.empty()) break;
        for (const auto mark : marks) {
            const auto end = text.find(mark);
            if (end == std::string_view::npos) continue;
            const auto read = parse_number(text.substr(0, end), 0, any ? 60 : 180);
            if (good(read) == nullptr) return std::nullopt;
            degrees += *good(read) / part;
            text.remove_prefix(end + mark.size());
            any = true;
            break;
        }
        if (!any) return std::nullopt;
        part *= 60;
    }
    while (text.starts_with(' ')) text.remove_prefix(1);
    return any && text.empty() ? std::optional(degrees) : std::nullopt;
}

Check degrees_check(double limit, char positive, char negative) {
    return [=](const std::string& said) -> Checked {
        std::string text = with_point(said);
        double sign = 1;
        const char last = text.empty() ? ' ' : char(text.back() & ~0x20);
        if (last == positive || last == negative) {
            sign = last == negative ? -1 : 1;
            text.pop_back();
            while (!text.empty() && text.back() == ' ') text.pop_back();
        }
        if (const auto parts = sexagesimal(text); parts && *parts <= limit) return decimal(sign * *parts);
        const auto read = parse_number(text, -limit, limit);
        if (good(read) == nullptr)
            return Fault{tubgrove::quoted(said) + " is no such position",
                         "decimal degrees, for example 47.9 or 33.4 " + std::string(1, negative)};
        return decimal(sign * *good(read));
    };
}

Check word_check(std::vector<std::string> words, bool share) {
    return [=](const std::string& said) -> Checked {
        if (std::ranges::find(words, said) != words.end()) return said;
        if (share) {
            const auto read = parse_quantity(said, {.unit = "%", .low = 0, .high = 100, .example = "60 %"});
            if (good(read) != nullptr) return decimal(*good(read)) + " %";
        }
        const std::string near = nearest(said, words);
        return Fault{tubgrove::quoted(said) + " is not one of them",
                     near.empty() ? one_of(words) + (share ? ", or a share such as 60 %" : "") : "perhaps " + near};
    };
}

// The reader of facts says which fact it speaks of; here the question has said so already.
Check fact_check(std::string key, const Names& names) {
    return [key = std::move(key), names](const std::string& said) -> Checked {
        const auto fact = canonical_fact(key, said, names, true);
        if (good(fact) != nullptr) return good(fact)->value;
        Fault wrong = fault(fact);
        if (wrong.what.starts_with(key + ": ")) wrong.what.erase(0, key.size() + 2);
        return wrong;
    };
}

// 2023, 2023-11 or 2023-11-12. A month alone is taken as its first day and a year as the end of its winter, the first of March or in the
// south of September, when bare trees have been planted; own assumption.
Check day_check(LocalDay today, bool south) {
    return [=](const std::string& said) -> Checked {
        if (said == "today") return format_day(today);
        std::string text = said;
        if (text.size() == 4) text += south ? "-09-01" : "-03-01";
        if (text.size() == 7) text += "-01";
        const auto day = parse_day(text);
        if (!day)
            return Fault{tubgrove::quoted(said) + " is no date",
                         "a year, a month or a day: 2023, 2023-11 or 2023-11-12"};
        // A bare year may be the present one, whose winter is not over yet.
        const bool this_year = said.size() == 4 && said == format_day(today).substr(0, 4);
        if (*day > today && !this_year)
            return Fault{tubgrove::quoted(said) + " lies ahead", "a day that has been, or today"};
        return format_day(std::min(*day, today));
    };
}

std::string id_of(std::string name) {
    for (char& c : name)
        if (c == ' ') c = '-';
    return name;
}

// Bays are named as pots are, so that one rule says what a name may be.
Check bay_check(const std::vector<Bay>& bays) {
    return [&bays](const std::string& said) -> Checked {
        const std::string id = id_of(said);
        if (auto wrong = wrong_pot_id(id)) {
            if (const auto at = wrong->what.find("a pot's id"); at != std::string::npos)
                wrong->what.replace(at, std::string_view("a pot's id").size(), "the name of a bay");
            return Fault{wrong->what, "letters, digits, - or _, such as terrace or south-wall"};
        }
        if (std::ranges::find(bays, id, &Bay::id) != bays.end())
            return Fault{tubgrove::quoted(id) + " is named already", "another name"};
        return id;
    };
}

Check pot_check(const std::vector<FirstPot>& pots) {
    return [&pots](const std::string& said) -> Checked {
        if (auto wrong = wrong_pot_id(said)) return *wrong;
        if (std::ranges::find(pots, said, &FirstPot::id) != pots.end())
            return Fault{"pot " + tubgrove::quoted(said) + " is there already",
                         "the number or name on this pot's own label"};
        return said;
    };
}

Degrees degrees_of(const std::string& answer) { return Degrees(*good(parse_number(answer, -180, 180))); }
double number_in(const std::string& answer, std::string_view unit) {
    return *good(parse_quantity(answer, {.unit = unit, .low = -1e6, .high = 1e6, .example = ""}));
}

// A zone by its city alone, or by a name that is nearly right.
std::string zone_like(const std::string& said) {
    const auto lower = [](std::string text) {
        for (char& c : text) c = c == ' ' ? '_' : c >= 'A' && c <= 'Z' ? char(c - 'A' + 'a') : c;
        return text;
    };
    const auto names = zone_names();
    for (const auto& name : names)
        if (lower(name).ends_with("/" + lower(said))) return name;
    return nearest(said, names);
}

Site ask_site(Interview& interview, const SetupGiven& given) {
    Site site;
    interview.say(
        "The garden. Press Enter to take what stands in brackets; ? explains a question, back returns to the one "
        "before, quit ends without writing anything.");
    site.name = interview.ask({.text = "What do you call the garden?",
                               .usual = "Garden",
                               .explains = "It stands at the head of each list."});
    site.latitude = degrees_of(interview.ask(
        {.text = "Its latitude, in degrees north (47.9; in the south -33.4 or 33.4 S)?",
         .explains =
             "The sun's height follows from it. A map on a phone shows both numbers when you press on the place; one "
             "decimal, about ten kilometres, is enough.",
         .check = degrees_check(90, 'N', 'S')}));
    site.longitude =
        degrees_of(interview.ask({.text = "Its longitude, in degrees east (20.3; in the west -70.6 or 70.6 W)?",
                                  .explains = "It tells when the sun is highest. One decimal is enough.",
                                  .check = degrees_check(180, 'E', 'W')}));
    site.elevation = Metres(
        number_in(interview.ask({.text = "How high above the sea, in metres?",
                                 .explains = "Thin air dries a little faster. To within a hundred metres is enough.",
                                 .check = quantity_check("m", -430, 5500, "340 m")}),
                  "m"));
    site.timezone = interview.ask(
        {.text = "Its time zone?",
         // A server's own zone is often UTC, where nobody grows trees: then the garden's must be named.
         .usual = given.machine_zone == "UTC" || given.machine_zone == "Etc/UTC" ? "" : given.machine_zone,
         .explains =
             "A region and a large city that keeps the same time, such as Europe/Budapest or Pacific/Auckland. The list "
             "is made for the morning there.",
         .check = [&](const std::string& said) -> Checked {
             if (const auto zone = Zone::find(said)) {
                 const auto doubts = site_doubts(site, *zone, zone->start_of(given.today), given.zone_off_sun_h);
                 if (doubts.empty()) return said;
                 return Fault{doubts.front().what, doubts.front().right + "; `back` returns to the position"};
             }
             const std::string near = zone_like(said);
             return Fault{tubgrove::quoted(said) + " is no zone that this machine knows",
                          near.empty() ? "a region and a city, such as Europe/Budapest" : "perhaps " + near};
         }});
    return site;
}

Bay ask_bay(Interview& interview, const std::vector<Bay>& bays) {
    Bay bay;
    bay.order = int(bays.size()) + 1;
    bay.id = interview.ask(
        {.text = bays.empty() ? "A name for the first bay, as you walk?" : "A name for the next bay?",
         .usual = bays.empty() ? "terrace" : "",
         .explains = "One word that you will recognise on the list. Lists follow the order in which you "
                     "name them.",
         .check = bay_check(bays)});
    bay.light =
        interview.ask({.text = "Light there: full, half or shade?",
                       .usual = bay.light,
                       .explains = "full: six hours of sun or more on a clear summer day; half: three to six; shade: "
                                   "less. A share such as 60 % says it more finely.",
                       .check = word_check({"full", "half", "shade"}, true)});
    bay.shelter =
        interview.ask({.text = "Wind there: open, usual or sheltered?",
                       .usual = bay.shelter,
                       .explains = "open: nothing breaks the wind; usual: a garden among houses and hedges; "
                                   "sheltered: walls on two sides or more.",
                       .check = word_check({"open", "usual", "sheltered"}, true)});
    bay.rain = interview.ask({.text = "Rain there: open, eaves or roof?",
                              .usual = bay.rain,
                              .explains =
                                  "open: rain falls freely; eaves: a wall or an overhang keeps part of it off; roof: "
                                  "none arrives.",
                              .check = word_check({"open", "eaves", "roof"}, true)});
    bay.place =
        interview.ask({.text = "It stands on: ground, balcony, roof or indoors?",
                       .usual = bay.place,
                       .explains = "On balconies and roofs the lists mind the load of full pots; indoors no rain "
                                   "and little wind arrive, and the air is held mild.",
                       .check = word_check({"ground", "balcony", "roof", "indoors"}, false)});
    return bay;
}

void ask_bays(Interview& interview, std::vector<Bay>& bays) {
    interview.say(
        "Bays. A bay is a place where pots stand together and share light, wind and rain. One is enough to begin "
        "with.");
    do bays.push_back(ask_bay(interview, bays));
    while (interview.yes("Another bay?", false));
}

void ask_carry(Interview& interview, Carry& carry) {
    interview.say("Cans.");
    const std::string usual = decimal(litres(carry.can)) + " L";
    carry.can = Litres(number_in(
        interview.ask({.text = "How much do you carry in one can, in litres?",
                       .usual = usual,
                       .explains =
                           "What is comfortable, not what fits: a litre weighs a kilogram. For a hose, the usual "
                           "will do.",
                       .check = quantity_check("L", 0.5, 50, "5 L")}),
        "L"));
    const std::string cans = interview.ask({.text = "How many cans at once: 1 or 2?",
                                            .usual = std::to_string(carry.cans),
                                            .explains = "Two light ones keep the back straighter than one heavy one.",
                                            .check = word_check({"1", "2"}, false)});
    carry.cans = cans == "1" ? 1 : 2;
}

std::string next_id(const std::vector<FirstPot>& pots) {
    if (pots.empty()) return "1";
    const auto number = parse_count(pots.back().id, 0, 999999);
    return good(number) == nullptr ? "" : std::to_string(*good(number) + 1);
}

Check stock_check(const Names& names) {
    std::vector<std::string> words = names.rootstocks;
    words.insert(words.end(), names.vigours.begin(), names.vigours.end());
    return [=](const std::string& said) -> Checked {
        if (said == "unknown" || words.empty() || std::ranges::find(words, said) != words.end())
            return said == "unknown" ? "unknown" : said;
        const std::string near = nearest(said, words);
        return Fault{
            tubgrove::quoted(said) + " is not known",
            near.empty() ? "a stock such as M.27, or " + one_of(names.vigours) + ", or unknown" : "perhaps " + near};
    };
}

// What was said of the pot before is proposed for the next one: rows of pots are often alike.
FirstPot ask_pot(Interview& interview, const FirstGarden& garden, const SetupGiven& given) {
    const FirstPot before = garden.pots.empty() ? FirstPot{} : garden.pots.back();
    Names names = given.names;
    for (const Bay& bay : garden.configuration.bays) names.bays.push_back(bay.id);
    const bool south = degrees(garden.configuration.site.latitude) < 0;
    FirstPot pot;
    pot.id = interview.ask({.text = "The number or name on its label?",
                            .usual = next_id(garden.pots),
                            .explains = "It is written on the label and is never used for another pot.",
                            .check = pot_check(garden.pots)});
    pot.bay = garden.configuration.bays.front().id;
    if (garden.configuration.bays.size() > 1)
        pot.bay = interview.ask({.text = "In which bay (" + one_of(names.bays) + ")?",
                                 .usual = before.bay.empty() ? pot.bay : before.bay,
                                 .check = fact_check("bay", names)});
    pot.size =
        interview.ask({.text = "Its size in litres, as on the rim?",
                       .usual = before.size,
                       .explains = "Brim-full. If the rim says nothing: a round pot holds about width x width x "
                                   "height / 1700 litres, in centimetres. Shape and true measures can follow later.",
                       .check = [&](const std::string& said) { return fact_check("container.size", names)(in_unit(said, "L")); }});
    pot.species = interview.ask({.text = "Which species (apple, pear, citrus …)?",
                                 .usual = before.species.empty() ? "apple" : before.species,
                                 .explains = names.species.empty() ? "" : "Known: " + one_of(names.species) + ".",
                                 .check = fact_check("tree.a.species", names)});
    pot.stock = interview.ask({.text = "How dwarfing is its stock?",
                               .usual = before.stock.empty() || before.species != pot.species ? "unknown" : before.stock,
                               .explains = "The stock's name if you know it (M.27, M.9 …), or one of " +
                                           one_of(names.vigours) + ", or unknown, which widens the ranges.",
                               .check = stock_check(names)});
    pot.planted = interview.ask({.text = "When was the tree planted (2023, 2023-11 or 2023-11-12)?",
                                 .usual = before.planted,
                                 .explains = "Its first planting as a grafted tree; the year tells most of its size.",
                                 .check = day_check(given.today, south)});
    pot.since =
        interview.ask({.text = "In this pot since?",
                       .usual = pot.planted,
                       .explains = "Roots need about two seasons to fill a new pot; until then they reach only part "
                                   "of its water.",
                       .check = day_check(given.today, south)});
    return pot;
}

std::string in_quotes(const std::string& text) {
    std::string out = "\"";
    for (const char c : without_controls(text)) {
        if (c == '"' || c == '\\') out += '\\';
        out += c;
    }
    return out + '"';
}

std::string clock_said(std::chrono::minutes m) { return format_clock(LocalTime{} + m); }

std::string caution_said(Caution caution) {
    return caution == Caution::low ? "low" : caution == Caution::usual ? "usual" : "high";
}

}  // namespace

FirstGarden ask_for_garden(Interview& interview, const SetupGiven& given) {
    FirstGarden garden;
    garden.configuration.site = ask_site(interview, given);
    ask_bays(interview, garden.configuration.bays);
    ask_carry(interview, garden.configuration.carry);
    interview.say("Pots. The least that makes a list useful; all else can follow with `tubgrove pot change`.");
    while (interview.yes(garden.pots.empty() ? "Name the first pots now?" : "Another pot?", true,
                         "They can also be added later, one by one or many from a file."))
        garden.pots.push_back(ask_pot(interview, garden, given));
    return garden;
}

std::string configuration_text(const Configuration& c) {
    std::string text =
        "# The garden as Tubgrove needs to know it. The program reads this file and\n"
        "# never writes it; after a change, `tubgrove check` says whether all is in\n"
        "# order.\n";
    text += "site:\n  name: " + in_quotes(c.site.name) + "\n  latitude: " + decimal(degrees(c.site.latitude)) +
            "     # degrees, north positive\n  longitude: " + decimal(degrees(c.site.longitude)) +
            "    # degrees, east positive\n  elevation: " + decimal(metres(c.site.elevation)) +
            " m\n  timezone: " + c.site.timezone + "\n\n";
    text +=
        "# light: full, half, shade; shelter: open, usual, sheltered; rain: open, eaves,\n"
        "# roof; or a share such as 60 %. place: ground, balcony, roof, indoors;\n"
        "# ground: paving, grass, gravel, soil, decking. Order is the walk's.\n"
        "bays:\n";
    for (const Bay& bay : c.bays)
        text += "  - {id: " + in_quotes(bay.id) + ", light: " + bay.light + ", shelter: " + bay.shelter +
                ", rain: " + bay.rain + ",\n     place: " + bay.place + ", ground: " + bay.ground +
                ", order: " + std::to_string(bay.order) + "}\n";
    text +=
        "\n# When you walk; the list is issued so long before. The evening's is for hot\n# days only.\nwalks: "
        "{morning: " +
        clock_said(c.walks.morning) + (c.walks.evening ? ", evening: " + clock_said(*c.walks.evening) : "") +
        ", issue_before: " + decimal(double(c.walks.issue_before.count())) + " min}\n\n";
    text +=
        "# What is carried in a can, how many at once, the smallest mark on it, and how\n"
        "# often you go round at most.\n"
        "carry: {can: " +
        decimal(litres(c.carry.can)) + " L, cans: " + std::to_string(c.carry.cans) +
        ", mark: " + decimal(litres(c.carry.mark)) + " L, passes: " + std::to_string(c.carry.passes) + "}\n\n";
    text += "# low: water is dear, a dry hour is forgiven; high: no dry hour is worth a saved\n# litre.\ncaution: " +
            caution_said(c.caution) + "\n";
    return text;
}

std::string garden_text(const FirstGarden& garden, const Names& names) {
    std::vector<GardenPot> pots;
    for (const FirstPot& pot : garden.pots) {
        GardenPot row{.id = pot.id, .since = parse_day(pot.since), .facts = {}};
        row.facts = {{"bay", pot.bay}, {"container.size", pot.size}, {"tree.a.species", pot.species}};
        if (pot.stock != "unknown") {
            const bool vigour = std::ranges::find(names.vigours, pot.stock) != names.vigours.end();
            row.facts.push_back({vigour ? "tree.a.vigour" : "tree.a.rootstock", pot.stock});
        }
        row.facts.push_back({"tree.a.planted", pot.planted});
        pots.push_back(std::move(row));
    }
    return write_garden(pots);
}

std::string zone_of_machine() {
    if (const char* tz = std::getenv("TZ"); tz != nullptr) {
        const std::string name = *tz == ':' ? tz + 1 : tz;
        if (!name.empty() && Zone::find(name)) return name;
    }
    std::ifstream file("/etc/timezone");
    if (std::string name; std::getline(file, name) && Zone::find(name)) return name;
    std::error_code none;
    const std::string target = std::filesystem::read_symlink("/etc/localtime", none).string();
    const auto at = target.find("zoneinfo/");
    if (at == std::string::npos) return "";
    const std::string name = target.substr(at + 9);
    return Zone::find(name) ? name : "";
}

}  // namespace tubgrove
