#include "draw_round.hpp"
#include "phrases.hpp"
#include "round_words.hpp"

#include <algorithm>
#include <vector>

namespace tubgrove {
namespace {

constexpr int paper_width = 78;
constexpr int page_lines = 60;

// Kept blanks: a box and its word stay together.
std::string boxes(std::initializer_list<std::string_view> words) {
    std::string out;
    for (const auto word : words) {
        for (const std::string_view part :
             {nbsp, nbsp, std::string_view("["), nbsp, std::string_view("]"), nbsp, word})
            out += part;
    }
    return out;
}

// What must not be torn apart by the end of a page: a pot with its reason, a heading with its first pot.
using Block = std::string;

long lines_in(const Block& block) { return std::count(block.begin(), block.end(), '\n'); }

Block drawn(auto&& draw) {
    Drawing drawing(Page{paper_width, false});
    draw(drawing);
    return drawing.text();
}

Block head(const Round& round) {
    return drawn([&](Drawing& d) {
        d.row(pad_right(long_day(round.day) + ", " + round.walk, 50) + "walked by ________________");
        d.paragraph({0, 0}, round.site + ": " + (round.pours.empty() ? "nothing to pour" : litres_said(round.total_l) + " for " +
                                counted(long(round.pours.size()), "pot", "pots") + ", in " +
                                counted(long(round.trips.size()), "trip", "trips")) + ". Round " + round.id + ".");
        d.blank();
        if (round.question) {
            d.paragraph({0, 2}, round.question->text + boxes({"all", "some", "none"}));
            d.blank();
        }
        for (const Notice& notice : round.notices)
            d.paragraph({0, 2}, std::string(notice.severity == Severity::danger    ? "DANGER: "
                                            : notice.severity == Severity::warning ? "Warning: "
                                                                                   : "Note: ") +
                                    notice.text);
    });
}

Block pot_block(const PourLine& line, const Round& round, const Zone& zone, bool opens_bay) {
    return drawn([&](Drawing& d) {
        if (opens_bay) {
            d.row("");
            d.row(line.bay);
            d.row(std::string(std::size_t(columns(line.bay)), '-'));
        }
        const bool through = line.until == Until::run_through;
        std::string amount = litres_said(line.pour_l);
        if (const auto each_l = each_pass_l(line.pour_l, line.passes); line.passes > 1 && each_l)
            amount = std::to_string(line.passes) + " x " + litres_said(*each_l);
        d.row("[ ] " + pad_right(line.pot, 8) + pad_right(amount, 11) +
              pad_right(through ? "or until it runs through" : "", 25) + "gave _____ L   ran through [ ]");
        std::string small = line.label.empty() || line.label == line.pot ? "" : line.label + ". ";
        if (line.passes > 1 && !each_pass_l(line.pour_l, line.passes)) small += capitalised(passes_said(line.pour_l, line.passes)) + ". ";
        small += need_said(line, round.day, zone);
        if (const std::string special = special_said(line, round); !special.empty()) small += " " + special;
        d.paragraph({12, 12}, small);
    });
}

Block cans_block(const Round& round) {
    return drawn([&](Drawing& d) {
        if (round.trips.empty()) return;
        d.row("");
        d.row("Cans");
        int number = 0;
        for (const Trip& trip : round.trips) {
            std::string line =
                "[ ] " + std::to_string(++number) + ". " + (trip.tap.empty() ? "" : "from " + trip.tap + ": ");
            for (std::size_t i = 0; i < trip.cans.size(); ++i) {
                line += (i == 0 ? "" : "; ") + litres_said(trip.cans[i].can_l) + " for";
                for (std::size_t j = 0; j < trip.cans[i].pours.size(); ++j)
                    line += (j == 0 ? " " : ", ") + trip.cans[i].pours[j].pot + std::string(nbsp) + "(" +
                            plain(trip.cans[i].pours[j].l, 2) + ")";
            }
            d.paragraph({0, 7}, line);
        }
    });
}

Block advice_block(const Round& round) {
    return drawn([&](Drawing& d) {
        const auto advice = advice_of(round);
        if (advice.empty()) return;
        d.row("");
        d.row("More than a pour can do");
        for (const auto& gathered : advice) d.paragraph({0, 4}, said(gathered, round));
    });
}

Block jobs_block(const Round& round) {
    return drawn([&](Drawing& d) {
        if (round.jobs.empty()) return;
        d.row("");
        d.row("Jobs");
        for (const RoundJob& job : round.jobs) {
            d.paragraph({0, 4}, "[ ] " + joined_titles(job) + ". " + job.what);
            for (const auto& caution : job.caution) d.paragraph({4, 4}, "Care: " + caution);
        }
    });
}

Block rest_block(const Round& round) {
    return drawn([&](Drawing& d) {
        if (round.no_water.empty()) return;
        d.row("");
        d.row("No water now (feel them if you doubt it)");
        for (const RestLine& line : round.no_water)
            d.row("    " + pad_right(line.pot, 8) +
                  (line.next_day == round.day ? "next this evening" : line.next_day ? "next " + short_day(*line.next_day) : "in more than ten days") +
                  "   felt ______________");
    });
}

Block notes_block() {
    return drawn([](Drawing& d) {
        d.row("");
        d.row("Seen on the way");
        for (int i = 0; i < 3; ++i) d.row(std::string(paper_width, '_'));
    });
}

}  // namespace

std::string draw_sheet(const Round& round, const Zone& zone) {
    std::vector<Block> blocks{head(round)};
    const std::string* bay = nullptr;
    for (const PourLine& line : round.pours) {
        blocks.push_back(pot_block(line, round, zone, bay == nullptr || *bay != line.bay));
        bay = &line.bay;
    }
    for (Block block : {advice_block(round), cans_block(round), jobs_block(round), rest_block(round), notes_block()})
        blocks.push_back(std::move(block));
    std::string text;
    long used = 0;
    int page = 1;
    for (const Block& block : blocks) {
        const long lines = lines_in(block);
        if (used > 0 && used + lines > page_lines) {
            text += "\f" + round.id + ", page " + std::to_string(++page) + "\n\n";
            used = 2;
        }
        text += block;
        used += lines;
    }
    return text;
}

}  // namespace tubgrove
