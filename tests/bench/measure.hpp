#pragma once
// Clock, child processes and folders for the benchmarks.
#include <algorithm>
#include <chrono>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace tubgrove::bench {

struct Options {
    std::string tubgrove, sqlite3;  // the programs
};

// User and system time of this process, all threads.
double cpu_s();
// The same of the child processes that have ended.
double children_cpu_s();

template <class Work>
double seconds_of(Work work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

// Other work on the machine only ever makes a run longer, so the shortest says most.
template <class Work>
double best_of(int repeats, Work work) {
    double best_s = seconds_of(work);
    for (int i = 1; i < repeats; ++i) best_s = std::min(best_s, seconds_of(work));
    return best_s;
}

using Report = std::function<void(double)>;

struct Child {
    std::vector<double> figures;  // what it reported
    long peak_kB = 0;             // its largest resident memory
};

// Runs the work in a process of its own, so that its memory is its own. Throws when it fails.
Child in_child(const std::function<void(const Report&)>& work);
inline Child in_child(const std::function<void()>& work) {
    return in_child([&](const Report&) { work(); });
}

// A folder that is gone at the end.
class Folder {
public:
    Folder();
    Folder(const Folder&) = delete;
    ~Folder();
    const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

}  // namespace tubgrove::bench
