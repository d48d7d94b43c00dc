#pragma once
// Issues the round of each walk at its hour, once, and wakes for nothing else.
#include "serve/event_loop.hpp"
#include "serve/garden_bench.hpp"
#include "serve/timetable.hpp"

#include <functional>
#include <optional>
#include <string>

namespace tubgrove {

class RoundClock {
public:
    RoundClock(EventLoop& loop, GardenBench& bench);

    // Looks at the clock and at what was issued: at the start, when the configuration was read again, when something was
    // written that may matter (a clock confirmed), and by itself when a round is due or the clock was set.
    void look();

    // Calls after each look at a believed clock: a list may have been issued.
    void after_look(std::function<void()> call) { after_look_ = std::move(call); }

    // Whether the machine's clock was believed when it was last looked at, and when the next list is due.
    bool clock_believed() const { return !told_implausible_; }
    std::optional<Instant> due_next() const { return next_; }

private:
    // What a look at the garden gave, on the bench; taken in the loop.
    struct Looked {
        bool plausible = true;
        std::optional<NextIssue> next = {};
        Instant now{};
        std::string told = {};  // the line of a round that was issued
        std::string walk = {};  // the id that was worked on
        std::string trouble = {};
    };
    Looked work(Opened& opened) const;
    void take(const Looked& looked);

    EventLoop& loop_;
    GardenBench& bench_;
    LoopTimer timer_;
    ClockWatch watch_;
    bool looking_ = false, again_ = false;
    bool told_implausible_ = false;
    std::function<void()> after_look_ = {};
    std::optional<Instant> next_ = {};
    std::string given_up_ = {};  // a walk whose round could not be issued, told once
};

}  // namespace tubgrove
