#pragma once
// How far a long reading is: a bar on standard error, and only where that is a terminal.
#include <signal.h>

#include <chrono>
#include <cstdint>
#include <functional>
#include <string>
#include <string_view>

namespace tubgrove {

// Thrown out of a reading when Ctrl-C was pressed; what was not yet acknowledged is rolled back on the way.
struct Stopped {
    std::string_view what_stays = "what was taken in so far is kept, and doing it again takes in the rest";
};

// "roof.csv  [=====>      ]  43 %, 112000 rows"; without a known whole only the rows.
std::string progress_line(const std::string& what, double share, long rows, int width);

// While it lives, Ctrl-C and the like do not end the program at once but make the next step() throw Stopped. One may live
// within another.
class Progress {
public:
    // `share` says how far the reading is, 0..1, or below 0 where nobody can know.
    Progress(std::string what, std::function<double()> share);
    ~Progress();
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    void step(long rows);

private:
    std::string what_;
    std::function<double()> share_;
    struct sigaction interrupted_before_ {}, terminated_before_ {}, hung_up_before_ {};
    bool shown_ = false;
    bool terminal_;
    std::chrono::steady_clock::time_point last_{};
};

}  // namespace tubgrove
