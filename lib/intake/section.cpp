#include "intake/section.hpp"

#include "intake/configuration.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace tubgrove {
namespace {

using Kind = YamlNode::Kind;

Fault wrong_word(std::string_view written, std::span<const std::string_view> allowed) {
    auto near = nearest(written, allowed);
    auto right = did_you_mean(near, fmt::format("write {}", one_of(allowed)));
    return {fmt::format("{} is not a word for it", quoted(written)), right};
}

bool all_digits(std::string_view text) { return !text.empty() && text.find_first_not_of("0123456789") == std::string_view::npos; }

// {latitude: 47,9} is a number and a key without a value to YAML; a hand meant 47.9.
std::optional<std::string> cut_by_a_comma(const YamlNode& mapping, std::size_t i) {
    if (i == 0 || !all_digits(mapping.keys[i].text.substr(0, mapping.keys[i].text.find(' '))) || mapping.items[i].kind != Kind::null) return std::nullopt;
    const auto& before = mapping.items[i - 1];
    const auto whole = before.kind == Kind::scalar ? std::string_view(before.text) : std::string_view();
    if (!all_digits(whole.substr(whole.starts_with('-') ? 1 : 0))) return std::nullopt;
    return before.text + "," + mapping.keys[i].text;
}

std::string with_a_point(std::string number) {
    number[number.find(',')] = '.';
    return number;
}

bool among(std::string_view written, std::span<const std::string_view> allowed) {
    return std::ranges::find(allowed, written) != allowed.end();
}

}  // namespace

Section::Section(const YamlNode& node, std::string name, const Desk& desk)
    : node_(node), name_(std::move(name)), desk_(desk), used_(node.items.size(), false) {
    if (node.kind == Kind::mapping || node.kind == Kind::broken) return;
    desk_.complain(node, {fmt::format("{} is {}, not a mapping", name_, kind_name(node.kind)), "write `key: value` lines below it"});
}

std::optional<std::size_t> Section::find(std::string_view key) const {
    if (node_.kind != Kind::mapping) return std::nullopt;
    auto found = std::ranges::find(node_.keys, key, &YamlKey::text);
    if (found == node_.keys.end()) return std::nullopt;
    return std::size_t(found - node_.keys.begin());
}

bool Section::has(std::string_view key) const { return find(key).has_value(); }

void Section::complain(std::string_view key, const YamlNode& node, const Fault& fault) const {
    desk_.complain(node, {fmt::format("{}: {}: {}", name_, key, fault.what), fault.right});
}

const YamlNode* Section::take(std::string_view key) {
    asked_.emplace_back(key);
    if (desk_.asked != nullptr) desk_.asked->push_back({node_.line, node_.column, std::string(key)});
    auto place = find(key);
    if (!place) return nullptr;
    used_[*place] = true;
    const auto& node = node_.items[*place];
    if (node.kind == Kind::null) {
        complain(key, node, {"there is no value", "give one or remove the key"});
        return nullptr;
    }
    return node.kind == Kind::broken ? nullptr : &node;
}

std::optional<std::string> Section::scalar(std::string_view key) {
    const auto* node = take(key);
    if (!node) return std::nullopt;
    if (node->kind == Kind::scalar) return node->text;
    complain(key, *node, {fmt::format("this is {}, not one value", kind_name(node->kind)), "write one value"});
    return std::nullopt;
}

void Section::text(std::string_view key, std::string& into) {
    auto written = scalar(key);
    if (!written) return;
    if (written->size() > 200 || written->find('\n') != std::string::npos)
        complain(key, node_.items[*find(key)], {"this is not one line of at most 200 bytes", "shorten it"});
    else
        into = *written;
}

void Section::word(std::string_view key, std::string& into, std::initializer_list<std::string_view> allowed) {
    auto written = scalar(key);
    if (!written) return;
    std::span<const std::string_view> words(allowed.begin(), allowed.size());
    if (among(*written, words))
        into = *written;
    else
        complain(key, node_.items[*find(key)], wrong_word(*written, words));
}

void Section::word_or_share(std::string_view key, std::string& into, std::initializer_list<std::string_view> allowed) {
    auto written = scalar(key);
    if (!written) return;
    std::span<const std::string_view> words(allowed.begin(), allowed.size());
    if (among(*written, words)) {
        into = *written;
        return;
    }
    bool numeric = !written->empty() && std::string_view("0123456789.-+").find((*written)[0]) != std::string_view::npos;
    if (!numeric) {
        auto wrong = wrong_word(*written, words);
        if (wrong.right.starts_with("write ")) wrong.right += ", or a share such as 60 %";
        return complain(key, node_.items[*find(key)], wrong);
    }
    auto share = parse_quantity(*written, {"%", 0, 100, "60 %"});
    if (const auto* pct = good(share))
        into = decimal(*pct) + " %";
    else
        complain(key, node_.items[*find(key)], fault(share));
}

std::optional<double> Section::quantity(std::string_view key, const Wanted& wanted) {
    return parsed<double>(key, [&](std::string_view written) { return parse_quantity(written, wanted); });
}

void Section::number(std::string_view key, double& into, double low, double high) {
    if (auto value = parsed<double>(key, [&](std::string_view written) { return parse_number(written, low, high); })) into = *value;
}

void Section::count(std::string_view key, int& into, int low, int high) {
    if (auto value = parsed<long>(key, [&](std::string_view written) { return parse_count(written, low, high); })) into = int(*value);
}

void Section::yes_no(std::string_view key, bool& into) {
    auto value = parsed<bool>(key, [](std::string_view written) -> Parsed<bool> {
        if (written == "yes" || written == "true") return true;
        if (written == "no" || written == "false") return false;
        return Fault{fmt::format("{} is neither yes nor no", quoted(written)), "write yes or no"};
    });
    if (value) into = *value;
}

const YamlNode* Section::list(std::string_view key) {
    const auto* node = take(key);
    if (!node) return nullptr;
    if (node->kind == Kind::sequence) return node;
    complain(key, *node, {fmt::format("this is {}, not a list", kind_name(node->kind)), "write `- item` lines or [item, item]"});
    return nullptr;
}

void Section::texts(std::string_view key, std::vector<std::string>& into) {
    const auto* node = list(key);
    if (!node) return;
    for (const auto& item : node->items) {
        if (item.kind == Kind::scalar)
            into.push_back(item.text);
        else if (item.kind != Kind::broken)
            complain(key, item, {fmt::format("this is {}, not one value", kind_name(item.kind)), "write one value"});
    }
}

void Section::require(std::string_view key, std::string_view example) {
    asked_.emplace_back(key);
    if (node_.kind != Kind::mapping || has(key)) return;
    desk_.complain(node_, {fmt::format("{} has no {}", name_, key), fmt::format("add `{}`", example)});
}

void Section::finish() {
    if (node_.kind != Kind::mapping) return;
    for (std::size_t i = 0; i < node_.keys.size(); ++i) {
        if (used_[i]) continue;
        std::ranges::sort(asked_);
        asked_.erase(std::unique(asked_.begin(), asked_.end()), asked_.end());
        if (const auto number = cut_by_a_comma(node_, i)) {
            desk_.complain(node_.keys[i], {fmt::format("{}: {}: {} has a decimal comma", name_, node_.keys[i - 1].text, quoted(*number)),
                                           "write " + with_a_point(*number)});
            continue;
        }
        auto near = nearest(node_.keys[i].text, asked_);
        auto right = did_you_mean(near, fmt::format("the keys here are {}", one_of(asked_)));
        desk_.complain(node_.keys[i], {fmt::format("{} has no key {}", name_, quoted(node_.keys[i].text)), right});
    }
}

Parsed<std::chrono::weekday> day_of_the_week(std::string_view written) {
    const auto found = std::ranges::find(weekday_words, written);
    if (found != weekday_words.end()) return std::chrono::weekday(unsigned(found - weekday_words.begin()));
    return Fault{fmt::format("{} is no day of the week", quoted(written)), did_you_mean(nearest(written, weekday_words), "write it like saturday")};
}

}  // namespace tubgrove
