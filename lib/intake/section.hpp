#pragma once
// A YAML mapping under typed getters: each marks its key as used and complains of what does not fit; finish() names the keys
// that nobody asked for. A getter leaves its target, which holds the default, as it is unless the file gives a good value.
#include "intake/quantity.hpp"
#include "intake/yaml_tree.hpp"

#include <chrono>
#include <functional>
#include <initializer_list>
#include <optional>

namespace tubgrove {

// A key that a reader asked a mapping for, and the mapping's place in the file.
struct AskedKey {
    int line = 0, column = 0;
    std::string key;
};

// Where complaints of one file go, and, when somebody wants to know them, the keys that were asked for.
struct Desk {
    std::string file;
    Complaints& complaints;
    std::vector<AskedKey>* asked = nullptr;
    void complain(int line, int column, std::string what, std::string right) const {
        complaints.push_back({file, line, column, std::move(what), std::move(right)});
    }
    void complain(const YamlNode& node, Fault fault) const { complain(node.line, node.column, std::move(fault.what), std::move(fault.right)); }
    void complain(const YamlKey& key, Fault fault) const { complain(key.line, key.column, std::move(fault.what), std::move(fault.right)); }
};

class Section {
public:
    // `name` is how messages call it: "site", "bay south-wall". Node, desk and name must outlive it.
    Section(const YamlNode& node, std::string name, const Desk& desk);

    // The value of a key, which counts as used; null when it is absent. A key without a value is complained of.
    const YamlNode* take(std::string_view key);
    bool has(std::string_view key) const;

    // A scalar's text; wrong kinds are complained of.
    std::optional<std::string> scalar(std::string_view key);
    void text(std::string_view key, std::string& into);
    void word(std::string_view key, std::string& into, std::initializer_list<std::string_view> allowed);
    // One of `allowed`, or a share in per cent.
    void word_or_share(std::string_view key, std::string& into, std::initializer_list<std::string_view> allowed);
    std::optional<double> quantity(std::string_view key, const Wanted& wanted);
    void number(std::string_view key, double& into, double low, double high);
    void count(std::string_view key, int& into, int low, int high);
    void yes_no(std::string_view key, bool& into);
    // The items of a list; null when absent or no list.
    const YamlNode* list(std::string_view key);
    void texts(std::string_view key, std::vector<std::string>& into);

    // Any parser of a scalar.
    template <class Value>
    std::optional<Value> parsed(std::string_view key, const std::function<Parsed<Value>(std::string_view)>& parse);

    // Complains of a key that must be there; `example` is a line that would do.
    void require(std::string_view key, std::string_view example);
    // Complains of every key that was not asked for.
    void finish();

    const YamlNode& node() const { return node_; }
    const std::string& name() const { return name_; }
    const Desk& desk() const { return desk_; }

private:
    std::optional<std::size_t> find(std::string_view key) const;
    void complain(std::string_view key, const YamlNode& node, const Fault& fault) const;

    const YamlNode& node_;
    std::string name_;
    const Desk& desk_;
    std::vector<bool> used_;
    std::vector<std::string> asked_;
};

template <class Value>
std::optional<Value> Section::parsed(std::string_view key, const std::function<Parsed<Value>(std::string_view)>& parse) {
    auto written = scalar(key);
    if (!written) return std::nullopt;
    auto value = parse(*written);
    if (const auto* found = good(value)) return *found;
    complain(key, node_.items[*find(key)], fault(value));
    return std::nullopt;
}

// One of weekday_words.
Parsed<std::chrono::weekday> day_of_the_week(std::string_view written);

}  // namespace tubgrove
