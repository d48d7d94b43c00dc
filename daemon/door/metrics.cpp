#include "door/metrics.hpp"

#include <fmt/format.h>

namespace tubgrove {
namespace {

std::string escaped(std::string_view text) {
    std::string out;
    for (const char c : text) {
        if (c == '\\' || c == '"') out += '\\';
        out += c == '\n' ? std::string("\\n") : std::string(1, c);
    }
    return out;
}

std::string written(MetricsPage::Labels labels) {
    std::string out;
    for (const auto& [name, value] : labels) out += fmt::format("{}{}=\"{}\"", out.empty() ? "" : ",", name, escaped(value));
    return out.empty() ? out : "{" + out + "}";
}

}  // namespace

void MetricsPage::family(std::string_view name, MetricKind kind, std::string_view help) {
    name_ = name;
    head_ = fmt::format("# HELP {} {}\n# TYPE {} {}\n", name, help, name, kind == MetricKind::gauge ? "gauge" : "counter");
}

void MetricsPage::sample(Labels labels, double value) {
    text_ += std::exchange(head_, {});
    text_ += fmt::format("{}{} {}\n", name_, written(labels), value);
}

void MetricsPage::number(std::string_view name, MetricKind kind, std::string_view help, double value) {
    family(name, kind, help);
    sample({}, value);
}

}  // namespace tubgrove
