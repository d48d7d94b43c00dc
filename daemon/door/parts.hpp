#pragma once
// What the operations share: values of the query, and an outcome as a response. Private to the door.
#include "door/operations.hpp"
#include "garden/json.hpp"
#include "times.hpp"

#include <optional>

namespace tubgrove {

// A day of the query; empty where it is not there.
Parsed<std::optional<LocalDay>> day_of(const Asking& asking, std::string_view name);
// yes or no of the query; no where it is not there.
Parsed<bool> yes_of(const Asking& asking, std::string_view name);
Parsed<bool> yes_or_no(const Target& target, std::string_view name);

// The answer's JSON, exactly as the command line prints it; a refusal as a problem.
template <class Answer>
Response shown(const Asking& asking, const Outcome<Answer>& outcome, int refused, int done = 200) {
    if (const auto* refusal = std::get_if<Refusal>(&outcome)) return problem(refusal->anothers ? 403 : refused, refusal->what, refusal->right);
    return {.status = done, .body = to_json(std::get<Answer>(outcome), asking.garden.zone()), .headers = {}};
}

// The status of a refused question about a pot: 404 where there is none of that name, else 400. No name: about all of them.
int refused_of(const Asking& asking, const std::string& pot);

Response read_round(const Asking&);
Response read_why(const Asking&);
Response read_pots(const Asking&);
Response read_pot(const Asking&);
Response read_daybook(const Asking&);
Response read_weather(const Asking&);
Response read_water(const Asking&);
Response read_words_taken(const Asking&);
Response read_forecasts(const Asking&);
Response read_hindcast(const Asking&);
Response read_ahead(const Asking&);
Response read_absence(const Asking&);
Response read_visit(const Asking&);
Response read_compare(const Asking&);
Response read_calendar(const Asking&);
Response read_jobs(const Asking&);
Response read_season(const Asking&);
Response read_labels(const Asking&);

Response write_entries(const Asking&);
Response write_strike(const Asking&);
Response write_job_done(const Asking&);
Response write_job_wait(const Asking&);
Response write_job_drop(const Asking&);
Response write_pot(const Asking&);
Response write_change(const Asking&);
Response write_retirement(const Asking&);
Response write_pots(const Asking&);
Response write_daybook(const Asking&);
Response write_readings(const Asking&);
Response write_note(const Asking&);
Response write_clock(const Asking&);

}  // namespace tubgrove
