#include "serve/log.hpp"

#include "terminal.hpp"

#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

#include <array>
#include <cstdlib>

namespace tubgrove {
namespace {

spdlog::level::level_enum level_of(LogLevel level) {
    constexpr std::array levels{spdlog::level::debug, spdlog::level::info, spdlog::level::warn, spdlog::level::err};
    return levels[std::size_t(level)];
}

bool under_systemd() { return std::getenv("JOURNAL_STREAM") != nullptr; }

// systemd's priority of a line, as sd-daemon(3) has them.
constexpr std::array priorities{"<7>", "<6>", "<4>", "<3>"};

}  // namespace

void start_log(LogLevel least) {
    auto logger = std::make_shared<spdlog::logger>("tubgrove", std::make_shared<spdlog::sinks::stderr_sink_mt>());
    logger->set_level(level_of(least));
    logger->set_pattern(under_systemd() ? "%v" : "%Y-%m-%dT%H:%M:%S%z %l: %v");
    logger->flush_on(spdlog::level::debug);
    spdlog::set_default_logger(std::move(logger));
}

void log_line(LogLevel level, const std::string& line) {
    const std::string clean = without_controls(line);
    spdlog::default_logger_raw()->log(level_of(level), "{}", under_systemd() ? priorities[std::size_t(level)] + clean : clean);
}

}  // namespace tubgrove
