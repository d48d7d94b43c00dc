#include "measure.hpp"

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <stdexcept>

namespace tubgrove::bench {

namespace {

double used_s(int whose) {
    rusage used{};
    getrusage(whose, &used);
    const auto seconds = [](const timeval& t) { return double(t.tv_sec) + double(t.tv_usec) / 1e6; };
    return seconds(used.ru_utime) + seconds(used.ru_stime);
}

}  // namespace

double cpu_s() { return used_s(RUSAGE_SELF); }
double children_cpu_s() { return used_s(RUSAGE_CHILDREN); }

Child in_child(const std::function<void(const Report&)>& work) {
    int ends[2];
    if (pipe(ends) != 0) throw std::runtime_error("no pipe");
    std::fflush(nullptr);  // what waits to be printed is the parent's
    const pid_t pid = fork();
    if (pid < 0) throw std::runtime_error("no process");
    if (pid == 0) {
        close(ends[0]);
        try {
            work([&](double figure) {
                if (write(ends[1], &figure, sizeof figure) != sizeof figure) _exit(2);
            });
        } catch (const std::exception& error) {
            std::fprintf(stderr, "bench: %s\n", error.what());
            _exit(1);
        }
        _exit(0);
    }
    close(ends[1]);
    Child child;
    for (double figure; read(ends[0], &figure, sizeof figure) == sizeof figure;) child.figures.push_back(figure);
    close(ends[0]);
    int status = 0;
    rusage used{};
    wait4(pid, &status, 0, &used);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) throw std::runtime_error("a child process failed");
    child.peak_kB = used.ru_maxrss;
    return child;
}

Folder::Folder() {
    std::string name = std::filesystem::temp_directory_path() / "tubgrove-bench-XXXXXX";
    if (!mkdtemp(name.data())) throw std::runtime_error("no folder for the benchmark");
    path_ = name;
}

Folder::~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

}  // namespace tubgrove::bench
