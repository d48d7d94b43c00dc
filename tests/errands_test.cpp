// Errands of the loop, with shell scripts in the courier's place: what comes back, and that nothing is waited for for ever.
#include "catch.h"

#include "serve/errands.hpp"

#include <signal.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fstream>
#include <vector>

using namespace tubgrove;
using namespace std::chrono_literals;

namespace {

struct Folder {
    std::filesystem::path path;
    Folder() {
        std::string name = std::filesystem::temp_directory_path() / "tubgrove-errands-XXXXXX";
        path = ::mkdtemp(name.data());
    }
    ~Folder() { std::filesystem::remove_all(path); }
    std::filesystem::path script(const std::string& lines) const {
        const auto name = path / "courier";
        std::ofstream(name) << "#!/bin/sh\n" << lines << '\n';
        ::chmod(name.c_str(), 0700);
        return name;
    }
};

std::vector<Brought> sent(const std::filesystem::path& courier, const std::vector<Sent>& all, std::size_t at_once = 2) {
    EventLoop loop;
    Errands errands(loop, courier, at_once);
    std::vector<Brought> back(all.size());
    std::size_t left = all.size();
    for (std::size_t i = 0; i < all.size(); ++i)
        errands.send(all[i], [&, i](Brought brought) {
            back[i] = std::move(brought);
            if (--left == 0) loop.stop();
        });
    loop.run();
    return back;
}

Brought one(const std::filesystem::path& courier, Sent errand = {.errand = "{}"}) { return sent(courier, {std::move(errand)})[0]; }

}  // namespace

TEST_CASE("what the courier says is understood") {
    const auto brought = read_brought("{\"status\":503,\"etag\":\"\\\"a\\\"\",\"retry_after_s\":120,\"bytes\":3}\nabc");
    CHECK(brought.status == 503);
    CHECK(brought.etag == "\"a\"");
    CHECK(brought.retry_after == 120s);
    CHECK(brought.body == "abc");
    CHECK(brought.error.empty());
    CHECK(read_brought("{\"error\":\"no way\",\"bytes\":0}\n").error == "no way");
}

TEST_CASE("half of what the courier says is an error in words") {
    CHECK(read_brought("").error == "the courier ended without a word");
    CHECK(read_brought("{\"status\":200").error == "the courier ended without a word");
    CHECK(read_brought("[]\n").error == "the courier's words cannot be understood");
    CHECK(read_brought("{\"status\":200,\"bytes\":4}\nabc").error == "the courier was interrupted");
}

TEST_CASE("the errand goes in, the answer comes out, and nothing else of ours is open there") {
    const Folder folder;
    const int ours = ::dup(1);
    const auto courier = folder.script("body=$(cat; ls /proc/self/fd | wc -l)\nprintf '{\"status\":200,\"bytes\":%d}\\n%s' ${#body} \"$body\"");
    const auto brought = one(courier, {.errand = "{\"kind\":\"fetch\"}"});
    ::close(ours);
    CHECK(brought.error.empty());
    CHECK(brought.body.starts_with("{\"kind\":\"fetch\"}"));
    CHECK(std::stoi(brought.body.substr(16)) <= 4);  // 0, 1, 2 and the folder that is being listed
}

TEST_CASE("words longer than a pipe holds go in, and a long answer comes out") {
    const Folder folder;
    const auto courier = folder.script("n=$(wc -c)\nprintf '{\"status\":200,\"bytes\":%d}\\n' $n\nhead -c $n /dev/zero");
    CHECK(one(courier, {.errand = std::string(3'000'000, ' ')}).body.size() == 3'000'000);
}

TEST_CASE("a courier that never comes back is ended") {
    const Folder folder;
    const auto begun = std::chrono::steady_clock::now();
    CHECK(one(folder.script("exec sleep 60"), {.errand = "{}", .longest = 1s}).error == "no answer within 1 s");
    CHECK(std::chrono::steady_clock::now() - begun < 20s);
}

TEST_CASE("an answer without end is refused") {
    const Folder folder;
    CHECK(one(folder.script("exec yes"), {.errand = "{}", .bytes_max = 100'000}).error == "the answer is too large");
}

TEST_CASE("a courier that is not there is told") {
    CHECK(one("/nowhere/courier").error == "/nowhere/courier cannot be started: No such file or directory");
}

TEST_CASE("many errands take their turns, and each is told once") {
    const Folder folder;
    const auto courier = folder.script("cat >/dev/null; echo '{\"status\":200,\"bytes\":0}'");
    for (const auto& brought : sent(courier, std::vector<Sent>(12, Sent{.errand = "{}"}), 3)) CHECK(brought.status == 200);
}

TEST_CASE("at the end nobody is called and no courier is left") {
    const Folder folder;
    const auto mark = folder.path / "pid";
    EventLoop loop;
    {
        Errands errands(loop, folder.script("echo $$ > " + mark.string() + "; exec sleep 60"));
        errands.send({.errand = "{}"}, [](Brought) { FAIL("told after the end"); });
        LoopTimer look(loop);
        std::function<void()> until = [&] { std::filesystem::exists(mark) && std::filesystem::file_size(mark) > 0 ? loop.stop() : look.after(10ms, until); };
        until();
        loop.run();
    }
    pid_t pid = 0;
    std::ifstream(mark) >> pid;
    CHECK(::kill(pid, 0) != 0);
}
