#pragma once
// Numbers for a monitor, in the Prometheus text format: families of samples, each family with its help and kind.
#include <initializer_list>
#include <string>
#include <string_view>
#include <utility>

namespace tubgrove {

enum class MetricKind : unsigned char { gauge, counter };

class MetricsPage {
public:
    static constexpr std::string_view type = "text/plain; version=0.0.4; charset=utf-8";

    using Labels = std::initializer_list<std::pair<std::string_view, std::string_view>>;
    // Samples that follow are of this family; a family is begun once. One without samples is not written.
    void family(std::string_view name, MetricKind kind, std::string_view help);
    // A label's value may be any text.
    void sample(Labels labels, double value);
    // A family of one sample without labels.
    void number(std::string_view name, MetricKind kind, std::string_view help, double value);
    std::string take() { return std::move(text_); }

private:
    std::string text_ = {}, head_ = {}, name_ = {};
};

}  // namespace tubgrove
