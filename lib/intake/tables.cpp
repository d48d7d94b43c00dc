#include "intake/tables.hpp"

#include "intake/care_table.hpp"
#include "intake/section.hpp"
#include "intake/yaml_pack.hpp"
#include "tree/phenology.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <limits>
#include <set>

#include <fmt/format.h>

namespace tubgrove {
namespace {

using Kind = YamlNode::Kind;

constexpr double far = 1e6;

void source_and_note(Section& s, std::string& source, std::string& note) {
    s.require("source", "source: own assumption");
    std::string given;
    s.text("source", given);
    if (s.has("source") && given.empty()) s.desk().complain(s.node(), {fmt::format("{} has an empty source", s.name()), "name a work, or write own assumption"});
    source = given;
    s.text("note", note);
}

void read_medium(Section& s, Medium& row) {
    auto& r = row.retention;
    s.text("name", row.name);
    s.number("theta_r", r.theta_r, 0, 0.6);
    s.number("theta_s", r.theta_s, 0.05, 1);
    s.number("alpha_per_cm", r.alpha_per_cm, 1e-4, 10);
    s.number("n", r.n, 1.01, 12);
    s.number("dry_bulk_kg_l", row.dry_bulk_kg_l, 0.02, 2.5);
    s.number("threshold_kPa", row.threshold_kPa, 0.5, 200);
    s.number("lower_limit_kPa", row.lower_limit_kPa, 5, 2000);
    s.yes_no("mineral", row.mineral);
    s.yes_no("coarse_bark", row.coarse_bark);
    s.number("dried_loss", row.dried_loss, 0, 0.9);
    source_and_note(s, row.source, row.note);
    s.finish();
    if (!(r.theta_s > r.theta_r && r.n > 1 && r.alpha_per_cm > 0))
        s.desk().complain(s.node(), {fmt::format("{}: its retention curve is not whole", s.name()), "give theta_r below theta_s, alpha_per_cm and n above 1"});
    if (row.lower_limit_kPa <= row.threshold_kPa)
        s.desk().complain(s.node(), {fmt::format("{}: uptake ends before it falters", s.name()), "give lower_limit_kPa above threshold_kPa"});
}

void heat_sum(Section& s, std::string_view key, std::optional<double>& into) {
    double sum = std::numeric_limits<double>::quiet_NaN();
    s.number(key, sum, 0, 5000);
    if (sum >= 0) into = sum;
}

void read_species(Section& s, Species& row) {
    s.text("name", row.name);
    s.texts("also", row.also);
    s.yes_no("evergreen", row.evergreen);
    s.number("leaf_factor", row.leaf_factor, 0.1, 12);
    s.number("threshold_factor", row.threshold_factor, 0.1, 10);
    s.number("stomatal_factor", row.stomatal_factor, 0.1, 2);
    s.number("height_over_width", row.height_over_width, 0.2, 6);
    s.text("vigour", row.vigour);
    s.number("base_degC", row.base_degC, -5, 20);
    heat_sum(s, "green_tip_dd", row.green_tip_dd);
    heat_sum(s, "first_leaf_dd", row.first_leaf_dd);
    heat_sum(s, "full_bloom_dd", row.full_bloom_dd);
    heat_sum(s, "petal_fall_dd", row.petal_fall_dd);
    s.number("stage_sd_dd", row.stage_sd_dd, 0, 500);
    s.text("stage_source", row.stage_source);
    source_and_note(s, row.source, row.note);
    s.finish();
}

void read_rootstock(Section& s, Rootstock& row) {
    s.text("species", row.species);
    s.text("vigour", row.vigour);
    s.number("crown_max_m2", row.crown_max_m2, 0.05, 60);
    s.number("crown_rate_per_y", row.crown_rate_per_y, 0.05, 10);
    s.number("crown_half_y", row.crown_half_y, 0, 30);
    s.number("leaf_factor", row.leaf_factor, 0.1, 5);
    s.number("threshold_factor", row.threshold_factor, 0.1, 5);
    s.number("root_front_factor", row.root_front_factor, 0.05, 5);
    std::string stake = row.stake == Stake::permanent ? "permanent" : row.stake == Stake::temporary ? "temporary" : "none";
    s.word("stake", stake, {"permanent", "temporary", "none"});
    row.stake = stake == "permanent" ? Stake::permanent : stake == "temporary" ? Stake::temporary : Stake::none;
    s.count("stake_years", row.stake_years, 0, 50);
    s.number("height_low_m", row.height_low_m, 0, 30);
    s.number("height_high_m", row.height_high_m, 0, 30);
    s.yes_no("keep_clear", row.keep_clear);
    source_and_note(s, row.source, row.note);
    s.finish();
    if (row.height_low_m > row.height_high_m)
        s.desk().complain(s.node(), {fmt::format("{}: its lowest height is above its highest", s.name()), "give height_low_m up to height_high_m"});
}

void read_word(Section& s, Word& row) {
    s.number("middle", row.middle, -far, far);
    s.number("low", row.low, -far, far);
    s.number("high", row.high, -far, far);
    s.text("unit", row.unit);
    source_and_note(s, row.source, row.note);
    s.finish();
    if (!(row.low <= row.middle && row.middle <= row.high))
        s.desk().complain(s.node(), {fmt::format("{}: low, middle and high are not in order", s.name()), "give low <= middle <= high"});
}

// Complaints of the room that owns the rows.
void told_by_room(const Section& s, const std::string& wrong) {
    if (!wrong.empty()) s.desk().complain(s.node(), {fmt::format("{}: {}", s.name(), wrong), "correct the row"});
}

// A row of a grower's own keeps the shape and the unit of the shipped one: they are how it is read.
void keeps_its_kind(Section& s, const PriorRow& shipped, const PriorRow& own) {
    if (!shipped.set) return;
    if (own.spread != shipped.spread) told_by_room(s, "shape must stay that of the shipped row");
    else if (own.unit != shipped.unit) told_by_room(s, fmt::format("unit must stay {}", shipped.unit));
}

void read_prior(Section& s, PriorKey key, PriorRow& row) {
    const PriorRow shipped = row;
    std::string shape = row.spread == Spread::fixed ? "fixed" : row.spread == Spread::lognormal ? "lognormal" : "triangular", note;
    s.word("shape", shape, {"fixed", "lognormal", "triangular"});
    row.spread = shape == "fixed" ? Spread::fixed : shape == "lognormal" ? Spread::lognormal : Spread::triangular;
    s.number("median", row.median, -far, far);
    s.number("sd_ln", row.sd_ln, 0, 10);
    s.number("low", row.low, -far, far);
    s.number("mode", row.mode, -far, far);
    s.number("high", row.high, -far, far);
    s.text("unit", row.unit);
    source_and_note(s, row.source, note);
    s.finish();
    row.set = true;
    keeps_its_kind(s, shipped, row);
    told_by_room(s, complaint(key, row));
}

template <class Key>
void read_price(Section& s, Key key, Price& row) {
    std::string note;
    s.number("value", row.value, -far, far);
    s.text("unit", row.unit);
    source_and_note(s, row.source, note);
    s.finish();
    row.set = true;
    told_by_room(s, complaint(key, row));
}

// Reads the rows of one file into the tables.
class FileReader {
public:
    FileReader(const Desk& desk, Tables& tables) : desk_(desk), tables_(tables) {}

    void read(const YamlNode& root) {
        Section top(root, "the table file", desk_);
        each(top, "media", [&](Section& s, const std::string& key) { keyed(tables_.media, key, [&](Medium& row) { read_medium(s, row); }); });
        each(top, "species", [&](Section& s, const std::string& key) { keyed(tables_.species, key, [&](Species& row) { read_species(s, row); }); });
        each(top, "vigours", [&](Section& s, const std::string& key) { keyed(tables_.vigours, key, [&](Rootstock& row) { read_class(s, row); }); });
        each(top, "rootstocks", [&](Section& s, const std::string& key) { keyed(tables_.rootstocks, key, [&](Rootstock& row) { read_stock(s, row); }); });
        each(top, "priors", [&](Section& s, const std::string& key) {
            auto known = prior_key(key);
            if (known) read_prior(s, *known, tables_.priors[*known]);
            else unknown_key(s, key, names_of_all<PriorKey>(prior_count));
        });
        each(top, "prices", [&](Section& s, const std::string& key) {
            auto known = price_key(key);
            if (known) read_price(s, *known, tables_.prices.row(*known));
            else unknown_key(s, key, names_of_all<PriceKey>(price_count));
        });
        each(top, "figures", [&](Section& s, const std::string& key) {
            auto known = figure_key(key);
            if (known) read_price(s, *known, tables_.figures.row(*known));
            else unknown_key(s, key, names_of_all<FigureKey>(figure_count));
        });
        each(top, "cautions", [&](Section& s, const std::string& key) { keyed(tables_.care.cautions, key, [&](CautionRow& row) { read_caution(s, row); }); });
        each(top, "care_species", [&](Section& s, const std::string& key) { keyed(tables_.care.species, key, [&](CareSpecies& row) { read_care_species(s, row); }); });
        each(top, "jobs", [&](Section& s, const std::string& key) { keyed(tables_.care.rules, key, [&](CareRule& row) { read_care_rule(s, row); jobs_.emplace_back(key, &s.node()); }); });
        words(top);
        top.finish();
        // Rows of jobs name each other, cautions and species, so that they are judged when all of the file is read.
        for (const auto& [key, node] : jobs_) check_job(*tables_.care.rule(key), *node);
    }

private:
    template <class ReadRow>
    void each(Section& top, std::string_view table, ReadRow read_row) {
        const auto* list = top.has(table) ? top.list(table) : (top.take(table), nullptr);
        std::set<std::string> seen;
        for (const auto& node : items_of(list)) {
            auto key = text_of(node, "key");
            Section s(node, key.empty() ? fmt::format("a row of {}", table) : fmt::format("{} {}", table, key), desk_);
            s.require("key", "key: name");
            s.take("key");
            if (!key.empty() && !seen.insert(key).second) desk_.complain(node, {fmt::format("{} is given twice", s.name()), "keep one of them"});
            else if (!key.empty()) read_row(s, key);
        }
    }

    void words(Section& top) {
        const auto* list = top.has("words") ? top.list("words") : (top.take("words"), nullptr);
        for (const auto& node : items_of(list)) {
            auto about = text_of(node, "about"), word = text_of(node, "word");
            Section s(node, fmt::format("words {} {}", about, word), desk_);
            s.require("about", "about: light");
            s.require("word", "word: full");
            std::string known;
            s.word("about", known, {"light", "shelter", "rain", "place", "ground", "colour"});
            s.take("word");
            if (known.empty() || word.empty()) continue;
            auto found = std::ranges::find_if(tables_.words, [&](const Word& row) { return row.about == about && row.word == word; });
            if (found == tables_.words.end()) {
                found = tables_.words.insert(tables_.words.end(), Word{});
                found->about = about;
                found->word = word;
            }
            read_word(s, *found);
        }
    }

    void check_job(const CareRule& rule, const YamlNode& node) const {
        for (const auto& wrong : complaints_of(rule, tables_.care)) desk_.complain(node, {fmt::format("jobs {}: {}", rule.key, wrong), "correct the row"});
        for (const auto* list : {&rule.species, &rule.not_species})
            for (const auto& species : *list)
                if (!tables_.one_species(species)) desk_.complain(node, {fmt::format("jobs {}: there is no species {}", rule.key, tubgrove::quoted(species)), "a key of the species table"});
    }

    template <class Row, class ReadRow>
    void keyed(std::vector<Row>& rows, const std::string& key, ReadRow read_row) {
        auto found = std::ranges::find(rows, key, &Row::key);
        if (found == rows.end()) {
            found = rows.insert(rows.end(), Row{});
            found->key = key;
        }
        read_row(*found);
    }

    void read_class(Section& s, Rootstock& row) {
        row.vigour = row.key;
        read_rootstock(s, row);
    }

    // A stock begins with the numbers of its class and changes what it gives.
    void read_stock(Section& s, Rootstock& row) {
        auto vigour = text_of(s.node(), "vigour");
        if (const auto* its_class = vigour.empty() ? nullptr : tables_.vigour(vigour); its_class && row.vigour.empty()) {
            auto key = row.key;
            row = *its_class;
            row.key = key;
            row.note.clear();
        }
        read_rootstock(s, row);
        if (!tables_.vigour(row.vigour)) {
            std::vector<std::string> classes;
            for (const auto& one : tables_.vigours) classes.push_back(one.key);
            auto near = nearest(row.vigour, classes);
            desk_.complain(s.node(), {fmt::format("{}: {} is not a class of vigour", s.name(), tubgrove::quoted(row.vigour)),
                                      did_you_mean(near, fmt::format("write {}", one_of(classes)))});
        }
    }

    void unknown_key(const Section& s, const std::string& key, const std::vector<std::string>& known) {
        auto near = nearest(key, known);
        desk_.complain(s.node(), {fmt::format("{} is not a row that the program knows", s.name()),
                                  did_you_mean(near, "the shipped file shows every key")});
    }

    template <class Key>
    static std::vector<std::string> names_of_all(std::size_t count) {
        std::vector<std::string> names;
        for (std::size_t i = 0; i < count; ++i) names.emplace_back(name_of(Key(i)));
        return names;
    }
    static std::string text_of(const YamlNode& node, std::string_view key) {
        auto found = std::ranges::find(node.keys, key, &YamlKey::text);
        if (found == node.keys.end()) return {};
        const auto& item = node.items[std::size_t(found - node.keys.begin())];
        return item.kind == Kind::scalar ? item.text : std::string();
    }

    const Desk& desk_;
    Tables& tables_;
    std::vector<std::pair<std::string, const YamlNode*>> jobs_;
};

void read_tree(const std::string& file, const YamlNode& tree, Tables& tables, Complaints& complaints) {
    if (tree.kind == Kind::null) return;   // an empty file says nothing
    Desk desk{file, complaints};
    FileReader(desk, tables).read(tree);
}

void read_file(const TableText& text, Tables& tables, Complaints& complaints) {
    const auto tree = parse_yaml(text.file, text.yaml, {std::size_t(4) << 20, 200'000, 12});
    complaints.insert(complaints.end(), tree.complaints.begin(), tree.complaints.end());
    if (tree.complaints.empty()) read_tree(text.file, tree.value, tables, complaints);
}

void check_whole(const Tables& tables, Complaints& complaints) {
    if (auto key = missing(tables.priors))
        complaints.push_back({"priors.yaml", 0, 0, fmt::format("there is no row {}", name_of(*key)), "add it; this is a fault of the program"});
    if (auto key = missing(tables.prices))
        complaints.push_back({"prices.yaml", 0, 0, fmt::format("there is no row {}", name_of(*key)), "add it; this is a fault of the program"});
    if (auto key = missing(tables.figures))
        complaints.push_back({"ahead.yaml", 0, 0, fmt::format("there is no row {}", name_of(*key)), "add it; this is a fault of the program"});
}

}  // namespace

Read<std::vector<TableText>> read_table_folder(const std::string& folder) {
    namespace fs = std::filesystem;
    constexpr std::uintmax_t most_bytes = std::uintmax_t(4) << 20;
    Read<std::vector<TableText>> read;
    std::error_code error;
    std::vector<fs::path> files;
    for (fs::directory_iterator entry(folder, error), end; !error && entry != end; entry.increment(error))
        if (entry->path().extension() == ".yaml") files.push_back(entry->path());
    if (error) {
        read.complaints.push_back({folder, 0, 0, fmt::format("the folder can not be read: {}", error.message()), "correct `tables:` or the folder's rights"});
        return read;
    }
    std::ranges::sort(files);
    for (const auto& path : files) {
        auto size = fs::file_size(path, error);
        std::ifstream in(path, std::ios::binary);
        std::string yaml(error || size > most_bytes ? 0 : std::size_t(size), '\0');
        if (error || size > most_bytes || !in.read(yaml.data(), std::streamsize(yaml.size())))
            read.complaints.push_back({path.string(), 0, 0, "the file can not be read, or has more than 4 MiB", "correct its rights or split it"});
        else
            read.value.push_back({path.string(), std::move(yaml)});
    }
    return read;
}

Read<Tables> read_tables(std::span<const TableText> own) {
    Read<Tables> read;
    for (const auto& shipped : shipped_trees()) read_tree(std::string(shipped.file), unpack_tree(shipped.tree), read.value, read.complaints);
    for (const auto& text : own) read_file(text, read.value, read.complaints);
    check_whole(read.value, read.complaints);
    return read;
}

std::string tables_text(std::span<const TableText> own) {
    std::string text;
    for (const auto& some : {shipped_tables(), own})
        for (const auto& table : some) text += "# " + table.file + "\n" + table.yaml;
    return text;
}

Names names_of(const Tables& tables, std::vector<std::string> bays, std::vector<std::string> pots) {
    Names names;
    names.bays = std::move(bays);
    names.pots = std::move(pots);
    for (const auto& row : tables.media) names.media.push_back(row.key);
    for (const auto& row : tables.species) {
        names.species.push_back(row.key);
        names.species.insert(names.species.end(), row.also.begin(), row.also.end());
    }
    for (const auto& row : tables.rootstocks) names.rootstocks.push_back(row.key);
    for (const auto& row : tables.vigours) names.vigours.push_back(row.key);
    names.stages.assign(stage_names.begin(), stage_names.end());
    return names;
}

}  // namespace tubgrove
