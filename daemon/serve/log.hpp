#pragma once
// What the daemon tells its keeper, on standard error: a sentence, then what belongs to it. error: a person must act; warn: we
// coped and the answer suffers; info: start, stop, a line a round; debug: the rest. Nothing is told when nothing happens.
#include <fmt/format.h>

#include <string>

namespace tubgrove {

enum class LogLevel : unsigned char { debug, info, warn, error };

// Under systemd lines carry its priorities and no time; elsewhere the time.
void start_log(LogLevel least);
void log_line(LogLevel level, const std::string& line);

template <class... Values>
void log_debug(fmt::format_string<Values...> format, Values&&... values) {
    log_line(LogLevel::debug, fmt::format(format, std::forward<Values>(values)...));
}
template <class... Values>
void log_info(fmt::format_string<Values...> format, Values&&... values) {
    log_line(LogLevel::info, fmt::format(format, std::forward<Values>(values)...));
}
template <class... Values>
void log_warn(fmt::format_string<Values...> format, Values&&... values) {
    log_line(LogLevel::warn, fmt::format(format, std::forward<Values>(values)...));
}
template <class... Values>
void log_error(fmt::format_string<Values...> format, Values&&... values) {
    log_line(LogLevel::error, fmt::format(format, std::forward<Values>(values)...));
}

}  // namespace tubgrove
