#pragma once
// Every table of config/ together, as values: what the model rooms are told of media, species, stocks, words, priors,
// prices, figures of looking ahead and care. Read by intake/tables.hpp; rows of a grower's own stand among the shipped ones.
#include "care/rule.hpp"
#include "ensemble/priors.hpp"
#include "plan/figures.hpp"
#include "plan/prices.hpp"
#include "pot/medium.hpp"
#include "tree/rootstock.hpp"
#include "tree/species.hpp"
#include "word.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

struct Tables {
    std::vector<Medium> media;
    std::vector<Species> species;
    std::vector<Rootstock> rootstocks;   // named stocks
    std::vector<Rootstock> vigours;      // classes that stand for one
    std::vector<Word> words;
    Priors priors;
    Prices prices;
    Figures figures;
    CareTables care;

    // Null when there is no such row.
    const Medium* medium(std::string_view key) const { return find(media, key); }
    // By its key or by one of its other names.
    const Species* one_species(std::string_view key) const {
        if (const auto* row = find(species, key)) return row;
        for (const auto& row : species)
            for (const auto& name : row.also)
                if (name == key) return &row;
        return nullptr;
    }
    const Rootstock* rootstock(std::string_view key) const { return find(rootstocks, key); }
    const Rootstock* vigour(std::string_view key) const { return find(vigours, key); }
    const Word* word(std::string_view about, std::string_view key) const {
        for (const auto& row : words)
            if (row.about == about && row.word == key) return &row;
        return nullptr;
    }

private:
    template <class Row>
    static const Row* find(const std::vector<Row>& rows, std::string_view key) {
        for (const auto& row : rows)
            if (row.key == key) return &row;
        return nullptr;
    }
};

}  // namespace tubgrove
