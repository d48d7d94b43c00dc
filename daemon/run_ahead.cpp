// The commands that look ahead, and the one that tries a change out.
#include "draw_ahead.hpp"
#include "run.hpp"

#include "intake/quantity.hpp"

namespace tubgrove {
namespace {

LocalDay day_argument(const std::string& word, const Seen& seen) {
    const auto day = read_day(word, seen);
    if (good(day) == nullptr) refuse(fault(day).what, fault(day).right);
    return *good(day);
}

int days_option(const Asked& asked) {
    if (!asked.has("--days")) return 10;
    const auto days = parse_count(asked.value("--days"), 1, 10);
    if (good(days) == nullptr) refuse("--days: " + fault(days).what, fault(days).right);
    return int(*good(days));
}

}  // namespace

ExitStatus run_ahead(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    Garden& garden = *opened.garden;
    const Zone& zone = garden.zone();
    const Seen seen{view.now, zone};
    switch (asked.command->does) {
        case Does::ahead:
            if (asked.has("--hindcast")) {
                if (asked.has("--days")) refuse("--hindcast speaks of all the days that can be compared", "--hindcast alone");
                return show(face, garden.hindcast(view), zone, [&](const HindcastAnswer& answer) { return draw_hindcast(answer, face.page); });
            }
            return show(face, garden.ahead(view, days_option(asked)), zone,
                        [&](const AheadAnswer& answer) { return draw_ahead(answer, zone, face.page); });
        case Does::absence:
            return show(face, garden.absence(view, day_argument(asked.arguments[0], seen), day_argument(asked.arguments[1], seen)), zone,
                        [&](const AbsenceAnswer& answer) { return draw_absence(answer, zone, face.page); });
        case Does::visit:
            return show(face, garden.visit(view, day_argument(asked.arguments[0], seen)), zone,
                        [&](const VisitAnswer& answer) { return draw_visit(answer, zone, face.page); });
        default:
            return show(face, garden.compare(view, asked.arguments[0], std::span(asked.arguments).subspan(1)), zone,
                        [&](const CompareAnswer& answer) { return draw_compare(answer, face.page); });
    }
}

}  // namespace tubgrove
