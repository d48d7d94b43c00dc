// Pots in, out and shown.
#include "draw_answers.hpp"
#include "run.hpp"

#include <span>

namespace tubgrove {
namespace {

ExitStatus show_changes(const Face& face, const Outcome<ChangesAnswer>& outcome, const Zone& zone,
                        const std::string& command) {
    const auto status = show(face, outcome, zone, [&](const ChangesAnswer& answer) {
        return answer.complaints.empty() || !answer.changes.empty() ? draw_changes(answer, command, face.page)
                                                                    : std::string();
    });
    const auto* answer = std::get_if<ChangesAnswer>(&outcome);
    if (answer == nullptr || answer->complaints.empty()) return status;
    for (const auto& complaint : answer->complaints) talk(face.err, complaint);
    return ExitStatus::wrong_words;
}

}  // namespace

ExitStatus run_pots(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    Garden& garden = *opened.garden;
    const Zone& zone = garden.zone();
    const std::span<const std::string> words = asked.arguments;
    switch (asked.command->does) {
        case Does::pot_show:
            return show(face, garden.pot(view, words[0]), zone, [&](const PotAnswer& answer) {
                return draw_pot(answer, zone, zone.day_of(view.now), face.page);
            });
        case Does::words:
            return show(face, garden.words(view), zone,
                        [&](const WordsAnswer& answer) { return draw_words(answer, face.page); });
        case Does::pot_add:
            return show_changes(face, garden.pot_add(view, words[0], words.subspan(1)), zone, "");
        case Does::pot_change:
            return show_changes(
                face,
                garden.pot_change(view, words[0], words.subspan(1), day_option(asked, "--since", {view.now, zone})),
                zone, "");
        case Does::pot_retire:
            return show_changes(face, garden.pot_retire(view, words[0], asked.value("--because")), zone, "");
        case Does::pot_take:
            return show_changes(face, garden.pot_take(view, words[0], named_file(words[0]), asked.has("--apply")),
                                zone, with_apply(asked));
        case Does::daybook_take:
            return show_changes(face, garden.take_daybook(view, words[0], named_file(words[0]), asked.has("--apply")),
                                zone, with_apply(asked));
        default:
            return show(face, garden.pots(view, asked.has("--retired")), zone,
                        [&](const PotsAnswer& answer) { return draw_pots(answer, face.page); });
    }
}

}  // namespace tubgrove
