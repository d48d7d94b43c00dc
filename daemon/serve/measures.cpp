#include "serve/measures.hpp"

#include "door/metrics.hpp"

#include <sys/resource.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <fstream>

namespace tubgrove {
namespace {

constexpr auto gauge = MetricKind::gauge, counter = MetricKind::counter;

double seconds(Instant t) { return double(t.time_since_epoch().count()); }

// When the process started, by the machine's clock as it stands now: the kernel counts it from its own start.
double started_s() {
    std::ifstream in("/proc/self/stat");
    std::string all(std::istreambuf_iterator<char>(in), {});
    std::size_t at = all.rfind(')');
    for (int field = 2; field < 22 && at != std::string::npos; ++field) at = all.find(' ', at + 1);  // the 22nd, see proc(5)
    timespec up{}, now{};
    ::clock_gettime(CLOCK_BOOTTIME, &up);
    ::clock_gettime(CLOCK_REALTIME, &now);
    const double began = at == std::string::npos ? 0 : std::strtod(all.c_str() + at, nullptr) / double(::sysconf(_SC_CLK_TCK));
    return double(now.tv_sec) + double(now.tv_nsec) / 1e9 - (double(up.tv_sec) + double(up.tv_nsec) / 1e9) + began;
}

// The names are those that every Prometheus client library gives to the process.
void tell_process(MetricsPage& page) {
    long whole = 0, resident = 0;
    std::ifstream("/proc/self/statm") >> whole >> resident;
    rusage used{};
    ::getrusage(RUSAGE_SELF, &used);
    const double cpu_s = double(used.ru_utime.tv_sec + used.ru_stime.tv_sec) + double(used.ru_utime.tv_usec + used.ru_stime.tv_usec) / 1e6;
    page.number("process_start_time_seconds", gauge, "When the service started, since 1970.", started_s());
    page.number("process_resident_memory_bytes", gauge, "Memory that the service holds.", double(resident) * double(::sysconf(_SC_PAGESIZE)));
    page.number("process_cpu_seconds_total", counter, "Time that processors worked for the service.", cpu_s);
}

void tell_round(MetricsPage& page, const Round& round) {
    page.family("tubgrove_round_issued_timestamp_seconds", gauge, "When the newest list was issued, since 1970.");
    page.sample({{"walk", round.walk}}, seconds(round.issued));
    page.family("tubgrove_round_pots", gauge, "Pots on the newest list, by whether they get water.");
    page.sample({{"water", "yes"}}, double(round.pours.size()));
    page.sample({{"water", "no"}}, double(round.no_water.size()));
    page.number("tubgrove_round_water_liters", gauge, "Water on the newest list.", round.total_l);
    page.number("tubgrove_round_jobs", gauge, "Lines of care on the newest list.", double(round.jobs.size()));
    constexpr std::array<std::string_view, 3> severities{"note", "warning", "danger"};
    std::array<int, 3> counts{};
    for (const auto& notice : round.notices) ++counts[std::size_t(notice.severity)];
    page.family("tubgrove_round_notices", gauge, "What the newest list says beside the pots.");
    for (std::size_t i = 0; i < counts.size(); ++i) page.sample({{"severity", severities[i]}}, counts[i]);
}

void tell_pots(MetricsPage& page, const Round& round) {
    page.family("tubgrove_pot_pour_liters", gauge, "What the newest list gives a pot.");
    for (const auto& line : round.pours) page.sample({{"pot", line.pot}}, line.pour_l);
    for (const auto& line : round.no_water) page.sample({{"pot", line.pot}}, 0);
    page.family("tubgrove_pot_depletion_liters", gauge, "Water missing from a pot when the newest list was made, middle estimate.");
    for (const auto& line : round.pours) page.sample({{"pot", line.pot}}, line.depletion_l);
    for (const auto& line : round.no_water) page.sample({{"pot", line.pot}}, line.depletion_l);
    page.family("tubgrove_pot_available_liters", gauge, "Water that a full pot holds for its tree, middle estimate.");
    for (const auto& line : round.pours) page.sample({{"pot", line.pot}}, line.available_l);
    for (const auto& line : round.no_water) page.sample({{"pot", line.pot}}, line.available_l);
}

void tell_sources(MetricsPage& page, const std::vector<SourceState>& sources) {
    page.family("tubgrove_source_failing", gauge, "1: the last that was heard of a source of weather is an error.");
    for (const auto& one : sources) page.sample({{"source", one.name}, {"way", one.way}}, one.failing);
    page.family("tubgrove_source_last_success_timestamp_seconds", gauge, "When a source of weather last gave something, since 1970.");
    for (const auto& one : sources)
        if (one.last_success) page.sample({{"source", one.name}, {"way", one.way}}, seconds(*one.last_success));
    page.family("tubgrove_source_connected", gauge, "Whether the broker of a source is connected.");
    for (const auto& one : sources)
        if (one.connected) page.sample({{"source", one.name}}, *one.connected);
}

void tell_channels(MetricsPage& page, const std::vector<ChannelState>& channels) {
    const auto each = [&](std::string_view name, MetricKind kind, std::string_view help, const auto& number) {
        page.family(name, kind, help);
        for (const auto& one : channels) page.sample({{"channel", one.name}, {"way", one.way}}, double(number(one)));
    };
    each("tubgrove_channel_failing", gauge, "1: the last that was heard of a way of telling lists is an error.", [](const auto& one) { return one.failing; });
    each("tubgrove_channel_waiting", gauge, "1: a list is still to be told.", [](const auto& one) { return !one.waiting.empty(); });
    each("tubgrove_channel_told_total", counter, "Lists told since the start.", [](const auto& one) { return one.told; });
    each("tubgrove_channel_failed_total", counter, "Tries to tell a list that failed, since the start.", [](const auto& one) { return one.failed; });
    each("tubgrove_channel_unsure_total", counter, "Lists of which nobody knows whether they arrived, since the start.", [](const auto& one) { return one.unsure; });
    page.family("tubgrove_channel_last_success_timestamp_seconds", gauge, "When a list was last told, since 1970.");
    for (const auto& one : channels)
        if (one.last_success) page.sample({{"channel", one.name}, {"way", one.way}}, seconds(*one.last_success));
}

}  // namespace

Response metrics_response(const Measures& measures) {
    MetricsPage page;
    page.family("tubgrove_build_info", gauge, "1, with the version of the program and of its model.");
    page.sample({{"version", measures.version}, {"model", measures.model}}, 1);
    tell_process(page);
    page.number("tubgrove_clock_believed", gauge, "0: the machine's clock cannot be right, and no list is issued.", measures.clock_believed);
    if (measures.next_issue)
        page.number("tubgrove_next_issue_timestamp_seconds", gauge, "When the next list is due, since 1970.", seconds(*measures.next_issue));
    if (measures.round) {
        tell_round(page, *measures.round);
        tell_pots(page, *measures.round);
    }
    tell_sources(page, measures.sources);
    tell_channels(page, measures.channels);
    page.family("tubgrove_http_requests_total", counter, "Requests by the status of their answer.");
    for (const auto& [status, count] : measures.answered) page.sample({{"status", std::to_string(status)}}, double(count));
    return {.type = std::string(MetricsPage::type), .body = page.take(), .headers = {}};
}

}  // namespace tubgrove
