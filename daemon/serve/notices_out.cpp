#include "serve/notices_out.hpp"

#include "garden/walks.hpp"
#include "garden/round_reader.hpp"
#include "serve/log.hpp"
#include "told.hpp"

#include <algorithm>
#include <list>
#include <map>
#include <utility>

namespace tubgrove {
namespace {

using namespace std::chrono_literals;
using Steady = std::chrono::steady_clock;

constexpr auto busy_wait = 30s;      // when the garden cannot be asked, or the store not be written
constexpr auto longest_end = 5s;     // what is under way when the service stops
constexpr auto longest_sleep = 26h;  // a steady wait drifts from a clock that is being set right

// What a look at the store gave: by addressee, the list that waits.
struct Queue {
    std::map<std::string, Telling> waiting = {};
    std::vector<Telling> given_up = {}, unsure = {};
    std::string trouble = {};
};

// The list of today whose hour has come; the evening's takes the morning's place.
std::optional<IssuedRound> to_tell(const Opened& opened, Instant now) {
    const auto& garden = *opened.garden;
    const auto& walks = garden.configuration().walks;
    const auto today = garden.zone().day_of(now);
    if (const auto evening = evening_walk(walks, garden.zone(), today); evening && evening->issues <= now)
        if (auto issued = opened.store->latest_round(today, "evening")) return issued;
    if (morning_walk(walks, garden.zone(), today).issues > now) return std::nullopt;
    return opened.store->latest_round(today, "morning");
}

// A list is told while its walk is the day's newest: a later one, or another day, makes it stale.
bool is_stale(const Telling& telling, const std::optional<IssuedRound>& newest, LocalDay today) {
    const auto name = parse_round_name(telling.round);
    if (!name || name->day != today) return true;
    return newest && (name->walk != newest->walk);
}

void put_into_queue(Store& store, const std::vector<Addressee>& all, const IssuedRound& issued, Instant now) {
    const bool asks = asks_for_something(round_from_json(issued.json));
    for (const auto& addressee : all)
        if (asks || addressee.channel.always) store.tell_later(std::vector{addressee.key}, told_as(addressee, issued.id), now);
}

Queue queue_of(Opened& opened, const std::vector<Addressee>& all, bool first) {
    auto& store = *opened.store;
    const auto now = clock_now();
    const auto today = opened.garden->zone().day_of(now);
    Queue queue;
    if (first) queue.unsure = store.tellings_cut_off(now);
    const auto issued = to_tell(opened, now);
    if (issued) put_into_queue(store, all, *issued, now);
    for (auto& telling : store.tellings(TellingState::waiting)) {
        const auto newer = queue.waiting.find(telling.channel);
        if (!is_stale(telling, issued, today)) {
            // Of two revisions for a topic the newer one is told.
            if (newer != queue.waiting.end()) queue.given_up.push_back(newer->second);
            queue.waiting.insert_or_assign(telling.channel, telling);
        } else {
            queue.given_up.push_back(std::move(telling));
        }
    }
    for (const auto& old : queue.given_up) store.telling_ends(old.channel, old.round, {TellingState::given_up, now, old.error});
    return queue;
}

// The errand for a list that waits, marked as under way from here on; empty when it waits no more.
std::optional<Sent> hand_over(Opened& opened, const Addressee& addressee, const Telling& telling) {
    auto& store = *opened.store;
    const auto name = parse_round_name(telling.round);
    const auto issued = addressee.channel.way == NoticeChannel::Way::topic || !name ? store.round(telling.round)
                                                                                      : store.latest_round(name->day, name->walk);
    if (!issued) return std::nullopt;
    const auto round = round_from_json(issued->json);
    auto errand = telling_errand(addressee, {round, issued->json, opened.garden->configuration().doors.link}, telling.round);
    return store.telling_begins(addressee.key, telling.round, clock_now()) ? std::optional(std::move(errand)) : std::nullopt;
}

}  // namespace

Response channels_response(std::span<const ChannelState> states, const Zone& zone) {
    return farings_response("channels", states, zone, [](JsonWriter& json, const ChannelState& state) {
        text_or_null(json, "waiting", state.waiting);
        json.integer("told", state.told);
        json.integer("failed", state.failed);
        json.integer("unsure", state.unsure);
    });
}

struct NoticesOut::Inside : std::enable_shared_from_this<NoticesOut::Inside> {
    // One addressee with its turn.
    struct Line {
        Line(EventLoop& loop, Addressee to) : addressee(std::move(to)), timer(loop), state{{.name = addressee.key, .way = std::string(addressee.way())}} {}
        Addressee addressee;
        LoopTimer timer;
        ChannelState state;
        bool under_way = false;
        Steady::time_point not_before = Steady::time_point::min();   // after a failure
    };

    Inside(EventLoop& to, GardenBench& at, std::filesystem::path courier)
        : loop(to), bench(at), errands(to, std::move(courier), std::size_t(most_told)), timer(to) {}
    EventLoop& loop;
    GardenBench& bench;
    Errands errands;
    LoopTimer timer;      // to look again
    std::optional<QuietHours> quiet;
    Zone zone = Zone::utc();
    std::vector<Addressee> all;
    std::list<std::shared_ptr<Line>> lines;
    bool first = true, looking = false, again = false, ending = false;
    std::function<void()> stopped;
    std::unique_ptr<LoopTimer> end_timer;

    // On the garden's thread, and back in the loop with what it gave; false: the garden cannot be asked now.
    template <class Work, class Back>
    bool at_garden(Work work, Back back) {
        return bench.post([weak = weak_from_this(), &to = loop, work = std::move(work), back = std::move(back)](Opened& opened) {
            auto gave = work(opened);
            to.post([weak, back, gave = std::move(gave)]() mutable {
                if (const auto here = weak.lock()) back(*here, std::move(gave));
            });
        });
    }

    void look() {
        if (ending || all.empty()) return;
        again = looking;
        if (looking) return;
        looking = at_garden(
            [wanted = all, at_start = first](Opened& opened) {
                try {
                    return queue_of(opened, wanted, at_start);
                } catch (const std::exception& error) {
                    Queue queue;
                    queue.trouble = error.what();
                    return queue;
                }
            },
            [](Inside& self, Queue queue) { self.seen(queue); });
        if (!looking) look_in(busy_wait);
    }

    void look_in(std::chrono::milliseconds wait) {
        timer.after(wait, [weak = weak_from_this()] {
            if (const auto here = weak.lock()) here->look();
        });
    }

    void seen(const Queue& queue) {
        looking = false;
        if (!queue.trouble.empty()) {
            log_error("what is to be told cannot be seen: {}", queue.trouble);
            return look_in(busy_wait);
        }
        first = false;
        for (const auto& old : queue.unsure)
            log_warn("the service ended while a list was handed over, so it is not sent again: channel={} round={}", old.channel, old.round);
        for (const auto& old : queue.given_up)
            log_warn("a list was never told, and its time is over: channel={} round={} tries={} why={}", old.channel, old.round, old.tries, old.error);
        if (std::exchange(again, false)) return look();
        for (const auto& line : lines) {
            const auto found = queue.waiting.find(line->addressee.key);
            if (line->under_way) continue;
            line->state.waiting = found == queue.waiting.end() ? "" : found->second.round;
            line->state.next = {};
            line->timer.cancel();
            if (found != queue.waiting.end()) turn(line, found->second);
        }
    }

    // Tells now what may be told now, else later.
    void turn(const std::shared_ptr<Line>& line, const Telling& telling) {
        const auto now = clock_now();
        const auto may = quiet_until(line->addressee, quiet, now, zone);
        auto wait = std::chrono::duration_cast<std::chrono::milliseconds>(may - now);
        if (line->not_before != Steady::time_point::min())
            wait = std::max(wait, std::chrono::ceil<std::chrono::milliseconds>(line->not_before - Steady::now()));
        if (wait <= 0ms) return tell(line, telling);
        line->state.next = now + std::chrono::ceil<std::chrono::seconds>(wait);
        line->timer.after(std::min<std::chrono::milliseconds>(wait, longest_sleep), [weak = weak_from_this()] {
            if (const auto here = weak.lock()) here->look();
        });
    }

    void tell(const std::shared_ptr<Line>& line, const Telling& telling) {
        if (ending) return;
        struct Handed {
            std::optional<Sent> sent = {};
            std::string trouble = {};
        };
        line->under_way = at_garden(
            [to = line->addressee, telling](Opened& opened) {
                Handed handed;
                try {
                    handed.sent = hand_over(opened, to, telling);
                } catch (const std::exception& error) {
                    handed.trouble = error.what();
                }
                return handed;
            },
            [line, telling](Inside& self, Handed handed) { self.handed(line, telling, std::move(handed.sent), handed.trouble); });
        if (!line->under_way) look_in(busy_wait);
    }

    void handed(const std::shared_ptr<Line>& line, const Telling& telling, std::optional<Sent> sent, const std::string& trouble) {
        if (!trouble.empty()) {
            note_failure(*line, trouble);
            line->not_before = Steady::now() + busy_wait;
            return over(line);
        }
        if (!sent) {  // another program has it, or its list is gone
            line->not_before = Steady::now() + busy_wait;
            return over(line);
        }
        errands.send(std::move(*sent), [weak = weak_from_this(), line, telling](const Brought& brought) {
            if (const auto here = weak.lock()) here->back(line, telling, brought);
        });
    }

    void back(const std::shared_ptr<Line>& line, const Telling& telling, const Brought& brought) {
        using Came = TellingVerdict::Came;
        const auto verdict = judge_telling(brought);
        const auto now = clock_now();
        TellingEnd end{.state = TellingState::told, .at = now, .error = verdict.why};
        if (verdict.came == Came::told) {
            if (note_well(line->state, now)) log_info("lists are told again: channel={}", line->addressee.key);
            log_info("list told: channel={} round={}", line->addressee.key, telling.round);
            ++line->state.told;
            line->not_before = Steady::time_point::min();
        } else {
            end.state = verdict.came == Came::unsure ? TellingState::unsure : TellingState::waiting;
            if (verdict.came == Came::unsure) {
                ++line->state.unsure;
                note_failure(*line, verdict.why + "; it may have arrived, so it is not sent again");
            } else {
                ++line->state.failed;
                note_failure(*line, verdict.why);
                const int tries = verdict.hopeless ? most_doubled : telling.tries + 1;
                line->not_before = Steady::now() + next_telling(line->addressee.key, tries, brought.retry_after);
            }
        }
        write_end(line, telling, end);
    }

    // Until it is written, the line begins nothing else: in the store it is under way, and so never sent twice.
    void write_end(const std::shared_ptr<Line>& line, const Telling& telling, const TellingEnd& end) {
        const bool taken = at_garden(
            [key = line->addressee.key, round = telling.round, end](Opened& opened) {
                try {
                    opened.store->telling_ends(key, round, end);
                    return std::string();
                } catch (const std::exception& error) {
                    return std::string(error.what());
                }
            },
            [line](Inside& self, const std::string& trouble) {
                if (!trouble.empty()) log_error("what became of a list cannot be written: channel={} why={}", line->addressee.key, trouble);
                self.over(line);
            });
        if (!taken) {
            line->timer.after(1s, [weak = weak_from_this(), line, telling, end] {
                if (const auto here = weak.lock()) here->write_end(line, telling, end);
            });
        }
    }

    void over(const std::shared_ptr<Line>& line) {
        line->under_way = false;
        if (ending) return end_if_done();
        look();
    }

    static void note_failure(Line& line, const std::string& why) {
        if (note_trouble(line.state, why, clock_now())) log_warn("a list was not told: channel={} why={}", line.addressee.key, why);
    }

    void end_if_done() {
        if (!stopped || std::ranges::any_of(lines, &Line::under_way)) return;
        end_timer.reset();
        std::exchange(stopped, {})();
    }

    static constexpr int most_doubled = 6;
};

NoticesOut::NoticesOut(EventLoop& loop, GardenBench& bench, std::filesystem::path courier)
    : inside_(std::make_shared<Inside>(loop, bench, std::move(courier))) {}

NoticesOut::~NoticesOut() {
    inside_->ending = true;
    for (const auto& line : inside_->lines) line->timer.cancel();
    inside_->timer.cancel();
}

void NoticesOut::take(const Configuration& configuration) {
    auto& inside = *inside_;
    inside.quiet = configuration.notices.quiet;
    inside.zone = Zone::find(configuration.site.timezone).value_or(Zone::utc());
    inside.all = addressees(configuration.notices);
    std::list<std::shared_ptr<Inside::Line>> lines;
    for (const auto& addressee : inside.all) {
        auto line = std::make_shared<Inside::Line>(inside.loop, addressee);
        const auto before = std::ranges::find(inside.lines, addressee.key, [](const auto& old) { return old->addressee.key; });
        if (before != inside.lines.end() && (*before)->under_way) {
            line = *before;  // it is on its way with the old words; its next turn has the new ones
            line->addressee = addressee;
        } else if (before != inside.lines.end()) {
            line->state = (*before)->state;
        }
        line->not_before = Steady::time_point::min();
        lines.push_back(std::move(line));
    }
    for (const auto& line : inside.lines) line->timer.cancel();
    inside.lines = std::move(lines);
    inside.look();
}

void NoticesOut::look() { inside_->look(); }

std::vector<ChannelState> NoticesOut::states() const {
    std::vector<ChannelState> states;
    for (const auto& line : inside_->lines) states.push_back(line->state);
    return states;
}

void NoticesOut::stop(std::function<void()> stopped) {
    auto& inside = *inside_;
    inside.ending = true;
    inside.stopped = std::move(stopped);
    inside.timer.cancel();
    inside.end_timer = std::make_unique<LoopTimer>(inside.loop);
    inside.end_timer->after(longest_end, [weak = std::weak_ptr(inside_)] {
        const auto here = weak.lock();
        if (here && here->stopped) std::exchange(here->stopped, {})();
    });
    inside.end_if_done();
}

}  // namespace tubgrove
