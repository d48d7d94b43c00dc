// The operations that look ahead.
#include "door/parts.hpp"
#include "intake/quantity.hpp"

#include <algorithm>

namespace tubgrove {

Response read_forecasts(const Asking& asking) { return shown(asking, asking.garden.forecasts(asking.view), 400); }

Response read_hindcast(const Asking& asking) { return shown(asking, asking.garden.hindcast(asking.view), 400); }

Response read_ahead(const Asking& asking) {
    const auto written = asking.target.value("days");
    if (!written) return shown(asking, asking.garden.ahead(asking.view), 400);
    const auto days = parse_count(*written, 1, 10);
    if (!good(days)) return problem(400, "days: " + fault(days).what, fault(days).right);
    return shown(asking, asking.garden.ahead(asking.view, int(*good(days))), 400);
}

Response read_absence(const Asking& asking) {
    const auto from = day_of(asking, "from"), to = day_of(asking, "to");
    for (const auto* day : {&from, &to})
        if (!good(*day)) return problem(400, fault(*day).what, fault(*day).right);
    if (!*good(from) || !*good(to)) return problem(400, "an absence has a first and a last day", "?from=2026-08-01&to=2026-08-14");
    return shown(asking, asking.garden.absence(asking.view, **good(from), **good(to)), 400);
}

Response read_visit(const Asking& asking) {
    const auto to = day_of(asking, "to");
    if (!good(to)) return problem(400, fault(to).what, fault(to).right);
    if (!*good(to)) return problem(400, "an absence has a last day", "?to=2026-08-14");
    return shown(asking, asking.garden.visit(asking.view, **good(to)), 400);
}

// facts=mulch.depth=4cm;container.size=60L
Response read_compare(const Asking& asking) {
    const auto written = asking.target.value("facts").value_or("");
    std::vector<std::string> facts;
    for (std::size_t from = 0; from < written.size();) {
        const auto end = std::min(written.find(';', from), written.size());
        if (end > from) facts.push_back(written.substr(from, end - from));
        from = end + 1;
    }
    if (facts.empty()) return problem(400, "nothing to compare with", "?facts=mulch.depth=4cm;container.size=60L");
    return shown(asking, asking.garden.compare(asking.view, asking.names[0], facts), refused_of(asking, asking.names[0]));
}

}  // namespace tubgrove
