// Facts that hold together, as the model needs them.
#include "intake/facts.hpp"

#include <algorithm>
#include <array>
#include <charconv>

#include <fmt/format.h>

namespace tubgrove {
namespace {

// Canonical facts are this program's own writing, so that a value which does not read is a damaged one; it is left out.
class Known {
public:
    Known(const Facts& facts, std::string prefix) : facts_(facts), prefix_(std::move(prefix)) {}

    const std::string* text(std::string_view key) const {
        auto found = facts_.find(prefix_ + std::string(key));
        return found == facts_.end() ? nullptr : &found->second;
    }
    std::string text_or(std::string_view key) const {
        const auto* found = text(key);
        return found ? *found : std::string();
    }
    std::optional<double> number(std::string_view key) const {
        const auto* found = text(key);
        return found ? leading(*found) : std::nullopt;
    }
    std::optional<LocalDay> day(std::string_view key) const {
        const auto* found = text(key);
        return found ? parse_day(*found) : std::nullopt;
    }
    template <class Unit>
    void quantity(std::string_view key, std::optional<Unit>& into) const {
        if (auto value = number(key)) into = Unit(*value);
    }
    template <class Word, std::size_t N>
    void word(std::string_view key, Word& into, const std::array<std::pair<std::string_view, Word>, N>& words) const {
        const auto* found = text(key);
        if (!found) return;
        for (const auto& [name, value] : words)
            if (name == *found) into = value;
    }
    static std::optional<double> leading(std::string_view value) {
        double number = 0;
        auto [end, error] = std::from_chars(value.data(), value.data() + value.size(), number);
        return error == std::errc() ? std::optional(number) : std::nullopt;
    }
    const Facts& facts() const { return facts_; }
    const std::string& prefix() const { return prefix_; }

private:
    const Facts& facts_;
    std::string prefix_;
};

template <class Word>
using Word_ = std::pair<std::string_view, Word>;

constexpr std::array forms{Word_<Form>{"round", Form::round}, Word_<Form>{"square", Form::square}, Word_<Form>{"oblong", Form::oblong},
                           Word_<Form>{"oval", Form::oval}, Word_<Form>{"bag", Form::bag}};
constexpr std::array walls{Word_<Wall>{"plastic", Wall::plastic}, Word_<Wall>{"glazed", Wall::glazed}, Word_<Wall>{"clay", Wall::clay},
                           Word_<Wall>{"fabric", Wall::fabric}, Word_<Wall>{"wood", Wall::wood}, Word_<Wall>{"metal", Wall::metal},
                           Word_<Wall>{"concrete", Wall::concrete}};
constexpr std::array colours{Word_<Colour>{"dark", Colour::dark}, Word_<Colour>{"light", Colour::light}};
constexpr std::array leaf_words{Word_<Leaves>{"few", Leaves::few}, Word_<Leaves>{"usual", Leaves::usual}, Word_<Leaves>{"dense", Leaves::dense}};
constexpr std::array stakes{Word_<Stake>{"none", Stake::none}, Word_<Stake>{"temporary", Stake::temporary}, Word_<Stake>{"permanent", Stake::permanent}};
constexpr std::array plantings{Word_<Planting>{"potted", Planting::potted}, Word_<Planting>{"ball", Planting::ball},
                               Word_<Planting>{"bare-root", Planting::bare_root}, Word_<Planting>{"bench-graft", Planting::bench_graft},
                               Word_<Planting>{"grafted-in-place", Planting::grafted_in_place}};

Container container_of(const Known& known) {
    Container c;
    known.word("form", c.form, forms);
    if (c.form == Form::bag) c.wall = Wall::fabric;
    known.word("wall", c.wall, walls);
    known.word("colour", c.colour, colours);
    known.quantity("size", c.size);
    known.quantity("top", c.top);
    known.quantity("base", c.base);
    known.quantity("top_across", c.top_across);
    known.quantity("base_across", c.base_across);
    known.quantity("height", c.height);
    known.quantity("drainage", c.drainage_layer);
    known.quantity("saucer", c.saucer);
    return c;
}

std::optional<Mulch> mulch_of(const Known& known) {
    auto depth = known.number("depth");
    if (!depth) return std::nullopt;
    return Mulch{Centimetres(*depth), known.number("cover").value_or(100) / 100};
}

std::optional<Drip> drip_of(const Known& known, LocalDay since) {
    auto each = known.number("each");
    const auto* at = known.text("at");
    if (!each || !at) return std::nullopt;
    Drip drip{Litres(*each), {}, int(known.number("every").value_or(1)), known.day("first").value_or(since)};
    for (std::string_view rest = *at; !rest.empty();) {
        auto clock = rest.substr(0, rest.find(','));
        if (auto minutes = parse_clock(clock)) drip.at.push_back(*minutes);
        rest.remove_prefix(std::min(rest.size(), clock.size() + 1));
    }
    return drip;
}

std::optional<Crown> crown_of(const Known& known, LocalDay since) {
    const auto* across = known.text("crown.across");
    auto first = across ? Known::leading(*across) : std::nullopt;
    if (!first) return std::nullopt;
    auto by = across->find(" by ");
    auto second = by == std::string::npos ? first : Known::leading(std::string_view(*across).substr(by + 4));
    Crown crown{Centimetres(*first), Centimetres(second.value_or(*first)), {}, known.day("crown.measured").value_or(since)};
    known.quantity("crown.height", crown.height);
    return crown;
}

Tree tree_of(const Known& known, std::string id, LocalDay since) {
    Tree tree;
    tree.id = std::move(id);
    tree.species = known.text_or("species");
    tree.cultivar = known.text_or("cultivar");
    tree.rootstock = known.text_or("rootstock");
    tree.vigour = known.text_or("vigour");
    tree.planted = known.day("planted");
    tree.grafted = known.day("grafted");
    if (const auto* taken = known.text("graft_taken")) tree.graft_taken = *taken == "yes";
    known.word("planting", tree.planting, plantings);
    known.quantity("ball", tree.ball);
    known.word("leaves", tree.leaves, leaf_words);
    known.word("stake", tree.stake, stakes);
    tree.crown = crown_of(known, since);
    tree.leaf_share = known.number("leaf_share").value_or(100) / 100;
    auto stages = known.prefix() + "stage.";
    for (auto fact = known.facts().lower_bound(stages); fact != known.facts().end() && fact->first.starts_with(stages); ++fact)
        if (auto seen = parse_day(fact->second)) tree.stages[fact->first.substr(stages.size())] = *seen;
    return tree;
}

std::vector<Tree> trees_of(const Facts& facts, LocalDay since) {
    std::vector<Tree> trees;
    for (auto fact = facts.lower_bound("tree."); fact != facts.end() && fact->first.starts_with("tree."); ++fact) {
        auto id = fact->first.substr(5, fact->first.find('.', 5) - 5);
        if (trees.empty() || trees.back().id != id) trees.push_back(tree_of(Known(facts, "tree." + id + "."), id, since));
    }
    return trees;
}

class Check {
public:
    Check(const PotSetup& setup, const Facts& facts, std::span<const std::string> refused, Complaints& complaints)
        : setup_(setup), facts_(facts), refused_(refused), complaints_(complaints) {}

    void container() {
        if (refused("container.")) return;
        const auto& c = setup_.container;
        bool sides = c.top || c.base || c.top_across || c.base_across || c.height;
        if (!c.size && !sides) complain("its size is not known", "give container.size=40L, or container.top and container.height");
        if (!c.size && sides && !(c.top && c.height)) complain("it has measured sides but not both top and height", "give container.top and container.height, or container.size");
        if (c.size && sides && c.top) complain("it has both a size and measured sides", "give container.size, or container.top and container.height");
        bool long_form = c.form == Form::oblong || c.form == Form::oval;
        if (!c.size && long_form && c.top && !c.top_across) complain("an oblong or oval pot needs its short side too", "give container.top_across=30cm");
        if (!long_form && (c.top_across || c.base_across)) complain("it has a short side but is neither oblong nor oval", "give container.form=oblong or oval");
        if (c.top_across && c.top && *c.top_across > *c.top) complain("its short side is longer than its long one", "give the long side as container.top");
        if (c.base && c.top && cm(*c.base) > 1.5 * cm(*c.top)) complain("its base is more than half as wide again as its top", "check which is which");
        if (c.drainage_layer && c.height && *c.drainage_layer >= *c.height) complain("the drainage layer fills the pot", "check container.drainage");
    }

    void trees() {
        if (refused("tree.")) return;
        if (setup_.trees.empty()) complain("no tree stands in it", "give tree.a.species=apple");
        for (const auto& tree : setup_.trees) {
            if (tree.species.empty()) complain(fmt::format("the species of tree {} is not known", tree.id), fmt::format("give tree.{}.species=apple", tree.id));
            if (tree.ball && setup_.container.size && *tree.ball > *setup_.container.size)
                complain(fmt::format("the root ball of tree {} is larger than the pot", tree.id), fmt::format("check tree.{}.ball", tree.id));
            bool height_alone = has(fmt::format("tree.{}.crown.height", tree.id)) && !tree.crown;
            if (height_alone) complain(fmt::format("the crown of tree {} has a height but no width", tree.id), fmt::format("give tree.{}.crown.across=90cm", tree.id));
        }
    }

    void rest() {
        if (has("mulch.cover") && !setup_.mulch && !refused("mulch")) complain("the mulch has a cover but no depth", "give mulch.depth=4cm, or mulch=no");
        bool drip = has("drip.each") || has("drip.at") || has("drip.every") || has("drip.first");
        if (drip && !setup_.drip && !refused("drip")) complain("the drip supply needs both an amount and times", "give drip.each=0.3L and drip.at=06:00, or drip=no");
        if (setup_.exposure.bay.empty() && !refused("bay")) complain("nobody said where it stands", "give bay=NAME");
    }

private:
    bool has(const std::string& key) const { return facts_.contains(key); }
    bool refused(std::string_view part) const {
        return std::ranges::any_of(refused_, [&](const std::string& key) { return key.starts_with(part); });
    }
    void complain(std::string what, std::string right) { complaints_.push_back({"", 0, 0, fmt::format("pot {}: {}", setup_.id, what), std::move(right)}); }

    const PotSetup& setup_;
    const Facts& facts_;
    std::span<const std::string> refused_;
    Complaints& complaints_;
};

}  // namespace

Read<PotSetup> setup_of(std::string_view pot, const Facts& facts, LocalDay in_this_pot_since, std::span<const std::string> refused) {
    Read<PotSetup> read;
    auto& setup = read.value;
    Known known(facts, "");
    setup.id = pot;
    setup.label = known.text_or("label");
    setup.container = container_of(Known(facts, "container."));
    setup.medium = known.text_or("medium");
    setup.in_this_pot_since = in_this_pot_since;
    setup.mulch = mulch_of(Known(facts, "mulch."));
    setup.drip = drip_of(Known(facts, "drip."), in_this_pot_since);
    setup.trees = trees_of(facts, in_this_pot_since);
    setup.exposure.bay = known.text_or("bay");
    Check check(setup, facts, refused, read.complaints);
    check.container();
    check.trees();
    check.rest();
    return read;
}

}  // namespace tubgrove
