#include "garden/care_now.hpp"

#include "garden/inside.hpp"
#include "plan/beliefs.hpp"

#include <algorithm>
#include <set>

namespace tubgrove {
namespace {

double word_middle(const Tables& tables, std::string_view about, const std::string& word, double otherwise) {
    if (const auto share = stated_share(word)) return *share;
    const auto* row = tables.word(about, word);
    return row ? row->middle : otherwise;
}

CareEntry care_entry(const Entry& entry, const Zone& zone) {
    CareEntry e{.id = entry.id, .day = zone.day_of(entry.when), .action = entry.action, .word = {}, .tree = {}, .values = entry.values};
    if (const auto text = entry.values.find("text"); text != entry.values.end()) e.word = text->second.substr(0, text->second.find(' '));
    if (e.action == "shaded" && entry.values.contains("share_pct")) e.word = "cloth";   // a wall's shade takes no share of the light
    if (const auto tree = entry.values.find("tree"); tree != entry.values.end()) e.tree = tree->second;
    return e;
}

// When the tool came to know the pot: nothing is overdue from before.
Instant entered(const PotLife& life) {
    const auto added = std::ranges::find(life.entries, std::string_view("added"), &Entry::action);
    return added == life.entries.end() ? life.facts.front().since : added->learned;
}

// The row of the tree's stock, else of its class of vigour, else of its species' usual class.
Rootstock stock_of(const Tree& tree, const Species& species, const Tables& tables) {
    if (const auto* stock = tables.rootstock(tree.rootstock)) return *stock;
    if (const auto* vigour = tables.vigour(tree.vigour)) return *vigour;
    const auto* usual = tables.vigour(species.vigour);
    return usual ? *usual : Rootstock{};
}

// Wet after draining, about 0.8 of the pores full. Own assumption
double wet_kg_l(const PotSetup& setup, const Tables& tables) {
    const auto* medium = tables.medium(setup.medium.empty() ? "shop_mix" : setup.medium);
    return medium ? medium->dry_bulk_kg_l + 0.8 * medium->retention.theta_s : 1.1;
}

// The most sheltered bay, if it is more so than its own: within walls, else under a roof, else out of the wind. Empty: there is none.
std::string sheltered_bay(const std::vector<Bay>& bays, const std::string& own) {
    const auto shelter = [](const Bay& bay) { return 4 * (bay.place == "indoors") + 2 * (bay.rain == "roof") + (bay.shelter == "sheltered"); };
    const Bay* best = nullptr;
    for (const auto& bay : bays)
        if (!best || shelter(bay) > shelter(*best) || (shelter(bay) == shelter(*best) && bay.id == own)) best = &bay;
    return best && best->id != own ? best->id : std::string();
}

// Where a pot stood outdoors before it was carried in; else the most sheltered bay that is not indoors. Empty: there is none.
std::string outdoor_bay(const std::vector<Bay>& bays, const PotLife& life, Instant now) {
    std::vector<Bay> outdoors;
    std::ranges::copy_if(bays, std::back_inserter(outdoors), [](const Bay& bay) { return bay.place != "indoors"; });
    for (auto facts = life.facts.rbegin(); facts != life.facts.rend(); ++facts) {
        const auto bay = facts->facts.find("bay");
        if (facts->since <= now && bay != facts->facts.end() && std::ranges::find(outdoors, bay->second, &Bay::id) != outdoors.end()) return bay->second;
    }
    return sheltered_bay(outdoors, {});
}

class Maker {
public:
    Maker(const GardenNow& garden, const Configuration& configuration, const Tables& tables, const Zone& zone, LocalDay day)
        : garden_(garden), configuration_(configuration), tables_(tables), zone_(zone), now_{.site = site(day), .years = {}, .pots = {}, .shown = {}, .care_day = configuration.walks.care} {}

    CareNow make(const DryShares& dry) {
        for (const auto* life : in_walking_order(garden_.past.lives, configuration_, garden_.now)) add(*life, dry);
        partners();
        for (const auto& issued : garden_.past.issued)
            if (issued.walk.name == "morning")
                for (const auto& job : issued.round.jobs)
                    for (const auto& part : job.parts) now_.shown[part.id].push_back(issued.walk.day);
        return std::move(now_);
    }

private:
    CareSite site(LocalDay day) const {
        const CarePlace place{.latitude_deg = degrees(configuration_.site.latitude), .longitude_deg = degrees(configuration_.site.longitude),
                              .elevation_m = metres(configuration_.site.elevation), .standard_offset = zone_.standard_offset(garden_.now), .zone = &zone_};
        return CareSite(place, garden_.weather.members.front(), day);
    }

    PotPlace stands_in(const std::string& bay, Instant t) const {
        const auto exposure = exposure_at(garden_.past, bay, t);
        return {.wind = word_middle(tables_, "shelter", exposure.shelter, 0.7) * word_middle(tables_, "place", exposure.place, 1),
                .light = word_middle(tables_, "light", exposure.light, 1), .rain = word_middle(tables_, "rain", exposure.rain, 1),
                .place = exposure.place, .ground = exposure.ground};
    }

    // Each change of its facts that was a move, up to yesterday: today it stands where it stands now.
    void add_stood(PotCare& pot, const PotLife& life) const {
        for (std::size_t i = 1; i < life.facts.size(); ++i) {
            const Instant moved = life.facts[i].since;
            if (moved > garden_.now || zone_.day_of(moved) >= zone_.day_of(garden_.now)) break;
            const auto bay = [&](const FactsFrom& facts) { return facts.facts.contains("bay") ? facts.facts.at("bay") : std::string(); };
            if (bay(life.facts[i]) == bay(life.facts[i - 1])) continue;
            const auto before = stands_in(bay(life.facts[i - 1]), moved), after = stands_in(bay(life.facts[i]), moved);
            if (!(before == after)) pot.stood.push_back({zone_.day_of(moved), before});
        }
    }

    void add(const PotLife& life, const DryShares& dry) {
        const auto& facts = life.facts_at(garden_.now);
        auto setup = setup_at(life, facts).value;
        const auto line = pot_line(life, garden_.now, zone_, tables_);
        PotCare pot;
        static_cast<PotPlace&>(pot) = stands_in(line.bay, garden_.now);
        add_stood(pot, life);
        pot.id = life.id;
        pot.label = line.label;
        pot.bay = line.bay;
        pot.order = int(now_.pots.size()) + 1;
        pot.to_bay = sheltered_bay(configuration_.bays, line.bay);
        if (pot.place == "indoors") pot.out_bay = outdoor_bay(configuration_.bays, life, garden_.now);
        pot.volume_l = line.size_l;
        pot.wet_kg_l = wet_kg_l(setup, tables_);
        pot.added = zone_.day_of(std::max(life.facts.front().since, entered(life)));
        const auto mulch = laid_mulch(facts);
        pot.mulched = mulch ? mulch->day : pot.added;
        if (const auto share = dry.find(life.id); share != dry.end()) pot.dry_share = share->second;
        for (const auto& tree : setup.trees) add_tree(pot, tree);
        for (const auto& entry : life.entries)
            if (entry.when <= garden_.now) pot.entries.push_back(care_entry(entry, zone_));
        pot.setup = std::move(setup);
        if (!pot.trees.empty()) now_.pots.push_back(std::move(pot));
    }

    void add_tree(PotCare& pot, const Tree& tree) {
        const auto* species = tables_.one_species(tree.species);
        if (!species) return;
        TreeCare care{.tree = tree, .species = species, .care = tables_.care.one_species(tree.species), .stock = stock_of(tree, *species, tables_),
                      .stock_name = tree.rootstock, .years = nullptr, .partner_here = false};
        care.years = years_of(care);
        pot.trees.push_back(std::move(care));
    }

    // Trees of one species that were seen alike share their years.
    const TreeYears* years_of(const TreeCare& tree) {
        const auto key = std::pair(tree.tree.species, tree.tree.stages);
        if (const auto found = shared_.find(key); found != shared_.end()) return found->second;
        now_.years.push_back(tree_years(now_.site, *tree.species, tree.care ? tree.care->harvest_d : 0, tree.tree.stages));
        return shared_[key] = &now_.years.back();
    }

    void partners() {
        std::map<std::string, int> count;
        for (const auto& pot : now_.pots)
            for (const auto& tree : pot.trees) ++count[tree.tree.species];
        for (auto& pot : now_.pots)
            for (auto& tree : pot.trees) tree.partner_here = count[tree.tree.species] > 1;
    }

    const GardenNow& garden_;
    const Configuration& configuration_;
    const Tables& tables_;
    const Zone& zone_;
    std::map<std::pair<std::string, std::map<std::string, LocalDay>>, const TreeYears*> shared_;
    CareNow now_;
};

}  // namespace

DryShares dry_shares(const Round& round) {
    DryShares shares;
    const auto add = [&](const auto& line) {
        if (line.available_l > 0) shares[line.pot] = line.depletion_l / line.available_l;
    };
    for (const auto& line : round.pours) add(line);
    for (const auto& line : round.no_water) add(line);
    return shares;
}

CareNow care_now(const GardenNow& garden, const Configuration& configuration, const Tables& tables, const Zone& zone, LocalDay day,
                 const DryShares& dry) {
    return Maker(garden, configuration, tables, zone, day).make(dry);
}

}  // namespace tubgrove
