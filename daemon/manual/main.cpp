// tubgrove-manual CONFIGURATION PROSE PAGE …: fills each PROSE into the manual page PAGE; the PROSE `bash`, `zsh` or `fish`
// stands for that shell's completion. Runs while the project is built.
#include "completion.hpp"
#include "manual/manual.hpp"
#include "safe_file.hpp"

#include <cstdio>
#include <exception>

int main(int count, char** words) try {
    using namespace tubgrove;
    if (count < 4 || count % 2 != 0) {
        std::fputs("usage: tubgrove-manual CONFIGURATION PROSE PAGE …\n", stderr);
        return 2;
    }
    const std::string configuration = read_whole(words[1]);
    for (int i = 2; i < count; i += 2) {
        const auto script = completion_script(words[i]);
        write_whole(words[i + 1], script.empty() ? fill_page(read_whole(words[i]), {.version = TUBGROVE_VERSION, .configuration = configuration})
                                                 : std::string(script));
    }
    return 0;
} catch (const std::exception& error) {
    std::fprintf(stderr, "tubgrove-manual: %s\n", error.what());
    return 3;
}
