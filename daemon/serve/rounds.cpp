#include "serve/rounds.hpp"

#include "serve/log.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace tubgrove {
namespace {

using namespace std::chrono_literals;

// A clock that cannot be believed, or a garden that could not be asked, is looked at again after so long.
constexpr auto look_again = 10min;
// A steady wait drifts from a clock that is being slewed: a long one is cut, and what is left is waited for anew.
constexpr auto longest_wait = 26h;

std::string id_of(const Walk& walk) { return format_round_name({.day = walk.day, .walk = walk.name}); }

std::optional<Instant> newest_confirmation(const Store& store) {
    std::optional<Instant> newest;
    for (const auto& entry : store.entries({.pot = ""}))
        if (entry.action == "clock-confirmed") newest = entry.when;
    return newest;
}

std::string issued_line(const RoundAnswer& answer) {
    return fmt::format("round issued: id={} pours={} total_l={:.1f} rests={}", answer.round.id, answer.round.pours.size(),
                       answer.round.total_l, answer.round.no_water.size());
}

}  // namespace

RoundClock::RoundClock(EventLoop& loop, GardenBench& bench)
    : loop_(loop), bench_(bench), timer_(loop), watch_(loop, [this] { look(); }) {}

void RoundClock::look() {
    again_ = looking_;
    if (looking_) return;
    looking_ = bench_.post([this](Opened& opened) {
        Looked looked;
        try {
            looked = work(opened);
        } catch (const std::exception& error) {
            looked.trouble = error.what();
        }
        loop_.post([this, looked = std::move(looked)] { take(looked); });
    });
    if (!looking_) timer_.after(1min, [this] { look(); });
}

// On the bench: issues what is due, and says what comes next.
RoundClock::Looked RoundClock::work(Opened& opened) const {
    Garden& garden = *opened.garden;
    const Store& store = *opened.store;
    Looked looked{.now = clock_now()};
    const View view{.now = looked.now};
    looked.plausible = is_plausible(looked.now, {built_at(), store.newest_learned(), newest_confirmation(store)});
    if (!looked.plausible) return looked;
    std::string worked_on;
    const auto stand = [&](const Walk& walk) {
        if (store.latest_round(walk.day, walk.name) || id_of(walk) == given_up_ || id_of(walk) == worked_on) return Stand::issued;
        const bool come = walk.name == "evening" && walk.issues <= looked.now && walk.day == garden.zone().day_of(looked.now);
        return come && garden.walk_now(view) != "evening" ? Stand::none : Stand::open;
    };
    const auto& walks = garden.configuration().walks;
    auto next = next_issue(looked.now, walks, garden.zone(), stand);
    if (next.at <= looked.now) {
        looked.walk = worked_on = id_of(next.walk);
        const auto outcome = garden.round(view, {}, next.walk.name);
        if (const auto* refusal = std::get_if<Refusal>(&outcome))
            looked.trouble = refusal->what;
        else
            looked.told = issued_line(std::get<RoundAnswer>(outcome));
        next = next_issue(looked.now, walks, garden.zone(), stand);
    }
    looked.next = next;
    return looked;
}

void RoundClock::take(const Looked& looked) {
    looking_ = false;
    if (!looked.plausible && !std::exchange(told_implausible_, true))
        log_warn("this machine's clock cannot be right, so no round is issued until it is set, or confirmed by `tubgrove clock "
                 "confirm`: now={}", format_rfc3339(looked.now, Zone::utc()));
    if (looked.plausible && std::exchange(told_implausible_, false)) log_info("the clock is believed again");
    if (!looked.told.empty()) log_info("{}", looked.told);
    if (!looked.trouble.empty()) log_warn("no round could be issued: {}", looked.trouble);
    if (!looked.trouble.empty() && !looked.walk.empty()) given_up_ = looked.walk;
    if (looked.plausible && after_look_) after_look_();
    if (std::exchange(again_, false)) return look();
    next_ = looked.next ? std::optional(looked.next->at) : std::nullopt;
    if (!looked.next) return timer_.after(look_again, [this] { look(); });
    const auto wait = std::clamp<std::chrono::milliseconds>(looked.next->at - looked.now, 1s, longest_wait);
    timer_.after(wait, [this] { look(); });
}

}  // namespace tubgrove
