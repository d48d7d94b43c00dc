// Words in, an exit status out. The only place where the program ends, and where what nobody handled is told.
#include "interview.hpp"
#include "progress.hpp"
#include "run.hpp"

#include <unistd.h>
#include <algorithm>
#include <csignal>
#include <iostream>
#include <string_view>

using namespace tubgrove;

namespace {

// "what; because of what", down to the first cause.
std::string told(const std::exception& error, std::string line = "") {
    line += (line.empty() ? "" : ": ") + std::string(error.what());
    try {
        std::rethrow_if_nested(error);
    } catch (const std::exception& cause) {
        return told(cause, line);
    } catch (...) {
    }
    return line;
}

// Whoever asked for JSON is refused in JSON too, as the garden's own refusals are, and told of a fault of the machine.
int ended_with(ExitStatus status, const Refused& refused, int count, char** texts) {
    if (std::find(texts, texts + count, std::string_view("--json")) != texts + count) {
        Refusal refusal = refused.parts;
        if (refusal.what.empty()) {
            for (const auto& line : refused.lines) refusal.what += (refusal.what.empty() ? "" : "\n") + line;
            if (status == ExitStatus::wrong_words) refusal.right = "as each line says at its end";
        }
        std::cout << to_json(refusal) << std::flush;
    }
    for (const auto& line : refused.lines) talk(std::cerr, line);
    return int(status);
}

int ended_with(ExitStatus status, const Refusal& refusal, int count, char** texts) {
    return ended_with(status, {{refusal.right.empty() ? refusal.what : refusal.what + "; " + refusal.right}, refusal}, count, texts);
}

int left_with(ExitStatus status, const std::vector<std::string>& lines) {
    for (const auto& line : lines) talk(std::cerr, line);
    return int(status);
}

}  // namespace

int main(int count, char** texts) try {
    const std::vector<std::string> words(texts + 1, texts + count);
    const auto read = read_words(words);
    if (good(read) == nullptr)
        return ended_with(ExitStatus::wrong_words, Refusal{fault(read).what, fault(read).right}, count, texts);
    const Face face{std::cout, std::cerr, page_of(STDOUT_FILENO), good(read)->has("--json")};
    const ExitStatus status = run(*good(read), face);
    std::cout.flush();
    if (!std::cout) return left_with(ExitStatus::machine_fault, {"the answer could not be written out"});
    return int(status);
} catch (const Refused& refused) {
    return ended_with(ExitStatus::wrong_words, refused, count, texts);
} catch (const InterviewEnded&) {
    return left_with(ExitStatus::wrong_words, {"ended before the last question; nothing was written"});
} catch (const Stopped& stopped) {
    talk(std::cerr, "stopped; " + std::string(stopped.what_stays));
    std::raise(SIGINT);  // so that the shell knows
    return int(ExitStatus::machine_fault);
} catch (const StoreRefusal& refusal) {
    return ended_with(ExitStatus::wrong_words, Refusal{refusal.words(), refusal.right()}, count, texts);
} catch (const std::exception& error) {
    return ended_with(ExitStatus::machine_fault, Refusal{told(error), ""}, count, texts);
}
