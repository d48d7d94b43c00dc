#include "care/rule.hpp"

#include <algorithm>
#include <charconv>

namespace tubgrove {
namespace {

constexpr std::array quantities{
    std::string_view("mean_7d_degC"), std::string_view("mean_10d_degC"), std::string_view("lowest_mean_7d_degC"),
    std::string_view("max_degC"), std::string_view("max_2d_degC"), std::string_view("max_5d_degC"), std::string_view("min_2d_degC"),
    std::string_view("min_5d_degC"), std::string_view("rain_1d_mm"), std::string_view("rain_2d_mm"), std::string_view("rain_past_3d_mm"),
    std::string_view("rain_past_14d_mm"), std::string_view("wind_2d_m_s"), std::string_view("gust_m_s"), std::string_view("gust_2d_m_s"), std::string_view("gust_news"),
    std::string_view("topple_share"), std::string_view("medium_degC"), std::string_view("medium_min_2d_degC"),
    std::string_view("medium_min_5d_degC"), std::string_view("medium_max_degC"), std::string_view("medium_low_degC"), std::string_view("medium_high_degC"),
    std::string_view("thaw_after_d"), std::string_view("cold_news_K"), std::string_view("root_margin_K"),
    std::string_view("frost_margin_K"), std::string_view("move_in_margin_K"), std::string_view("scab"), std::string_view("curl"),
    std::string_view("blight"), std::string_view("moth_dd"), std::string_view("dd10_since_done"), std::string_view("bloom_d"),
    std::string_view("in_leaf"), std::string_view("growing"), std::string_view("flowering"), std::string_view("fruiting"),
    std::string_view("bearing"), std::string_view("winterless"), std::string_view("dormant"), std::string_view("planted_y"), std::string_view("graft_w"), std::string_view("graft_awake_w"),
    std::string_view("graft_proven"), std::string_view("graft_failed"), std::string_view("own_rooted"), std::string_view("evergreen"),
    std::string_view("dwarfing"), std::string_view("staked"), std::string_view("stake_known"), std::string_view("stake_for_life"), std::string_view("crown_cm"),
    std::string_view("self_fertile"), std::string_view("partner_here"), std::string_view("in_pot_y"),
    std::string_view("pot_l"), std::string_view("pot_kg"), std::string_view("mulch_cm"), std::string_view("mulched"),
    std::string_view("has_saucer"), std::string_view("fabric"), std::string_view("indoors"), std::string_view("under_roof"),
    std::string_view("balcony"), std::string_view("on_grass"), std::string_view("dark_wall"), std::string_view("colour_untold"), std::string_view("in_sun"),
    std::string_view("sheltered"), std::string_view("wrapped"), std::string_view("covered"), std::string_view("dry_share"),
    std::string_view("drained_volumes"), std::string_view("days_since")};
static_assert(quantities.size() == std::size_t(CareValue::days_since) + 1);

std::string_view next_word(std::string_view& text) {
    const auto start = text.find_first_not_of(' ');
    if (start == text.npos) return text = {}, std::string_view();
    text.remove_prefix(start);
    const auto word = text.substr(0, text.find(' '));
    text.remove_prefix(word.size());
    return word;
}

template <class Number>
std::optional<Number> number_of(std::string_view word) {
    Number value{};
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    return error == std::errc() && end == word.data() + word.size() ? std::optional(value) : std::nullopt;
}

}  // namespace

std::optional<CareValue> find_quantity(std::string_view name) {
    const auto found = std::ranges::find(quantities, name);
    return found == quantities.end() ? std::nullopt : std::optional(CareValue(found - quantities.begin()));
}
std::string_view name_of(CareValue q) { return quantities[std::size_t(q)]; }
std::span<const std::string_view> quantity_names() { return quantities; }

std::optional<MarkOffset> parse_mark(std::string_view text) {
    const auto name = std::ranges::find(mark_names, next_word(text));
    if (name == mark_names.end()) return std::nullopt;
    MarkOffset mark{Mark(name - mark_names.begin()), 0};
    const auto sign = next_word(text);
    if (sign.empty()) return mark;
    const auto days = number_of<int>(next_word(text));
    if ((sign != "+" && sign != "-") || !days || *days < 0 || *days > 4000 || next_word(text) != "d" || !next_word(text).empty())
        return std::nullopt;
    mark.days = sign == "-" ? -*days : *days;
    return mark;
}

bool is_foretold(CareValue v) {
    switch (v) {
        case CareValue::max_2d_degC: case CareValue::max_5d_degC: case CareValue::min_2d_degC: case CareValue::min_5d_degC:
        case CareValue::rain_1d_mm: case CareValue::rain_2d_mm: case CareValue::wind_2d_m_s: case CareValue::gust_2d_m_s: case CareValue::gust_news:
        case CareValue::topple_share: case CareValue::medium_min_2d_degC: case CareValue::medium_min_5d_degC: case CareValue::medium_max_degC:
        case CareValue::cold_news_K: case CareValue::root_margin_K: case CareValue::frost_margin_K: case CareValue::move_in_margin_K:
            return true;
        default: return false;
    }
}

std::string text_of(const MarkOffset& m) {
    std::string text(mark_names[std::size_t(m.mark)]);
    if (m.days != 0) text += (m.days < 0 ? " - " : " + ") + std::to_string(m.days < 0 ? -m.days : m.days) + " d";
    return text;
}

std::optional<Condition> parse_condition(std::string_view text) {
    Condition c;
    c.text = text;
    auto word = next_word(text);
    const bool negated = word == "not";
    if (negated) word = next_word(text);
    const auto quantity = find_quantity(word);
    if (!quantity) return std::nullopt;
    c.quantity = *quantity;
    if (c.quantity == CareValue::days_since) {
        c.entry = next_word(text);
        if (c.entry.empty()) return std::nullopt;
    }
    const auto compare = next_word(text);
    if (compare.empty()) {
        c.compare = negated ? '<' : '>';
        return c.quantity == CareValue::days_since ? std::nullopt : std::optional(c);
    }
    const auto bound = number_of<double>(next_word(text));
    if (negated || (compare != "<" && compare != ">") || !bound || !next_word(text).empty()) return std::nullopt;
    c.compare = compare[0];
    c.bound = *bound;
    return c;
}

std::vector<std::string> complaints_of(const CareRule& rule, const CareTables& tables) {
    std::vector<std::string> wrong;
    const bool alone = rule.trigger != Trigger::rider && rule.trigger != Trigger::change;
    if (rule.title.empty()) wrong.push_back("it has no title");
    if (alone && rule.what.empty()) wrong.push_back("it does not say what is to be done (what)");
    if (alone && rule.done_by.empty()) wrong.push_back("no entry answers it (done_by)");
    if (!alone && rule.with.empty()) wrong.push_back("it does not say with which rows it goes (with)");
    if (rule.trigger == Trigger::interval && rule.every_d < 1) wrong.push_back("it has no interval (every_d)");
    if (rule.trigger == Trigger::event && rule.when.empty()) wrong.push_back("nothing makes it due (when)");
    if ((rule.trigger == Trigger::season || rule.trigger == Trigger::after) && !(rule.opens && rule.closes))
        wrong.push_back("its window has no beginning or no end (opens, closes)");
    if (rule.trigger == Trigger::after && rule.after.empty()) wrong.push_back("it does not say after which entry (after)");
    if (rule.opens.has_value() != rule.closes.has_value()) wrong.push_back("it has one of opens and closes without the other");
    for (const auto& code : rule.cautions)
        if (!tables.caution(code)) wrong.push_back("there is no caution " + code);
    for (const auto& key : rule.with) {
        const bool known = std::ranges::any_of(tables.rules, [&](const CareRule& r) { return r.key == key || r.group == key; });
        if (!known) wrong.push_back("there is no row or group " + key);
    }
    return wrong;
}

}  // namespace tubgrove
