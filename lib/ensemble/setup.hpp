#pragma once
// A pot as the model needs it: what the grower stated, and nothing that was not stated. A default is applied
// by the priors (ensemble/priors.hpp), which then also say "never measured" in the list's reasons.
#include "calendar.hpp"
#include "units.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

enum class Form : unsigned char { round, square, oblong, oval, bag };   // plan of the container; bag: a fabric bag, round
enum class Wall : unsigned char { plastic, glazed, clay, fabric, wood, metal, concrete };
enum class Colour : unsigned char { unknown, dark, light };

// Either `size` (rim litres) or top and height with base. Lengths are inner ones.
struct Container {
    Form form = Form::round;
    std::optional<Litres> size;                 // as printed on the rim
    std::optional<Centimetres> top, base;       // diameter or side; of an oblong or oval: the long one
    std::optional<Centimetres> top_across, base_across;   // oblong, oval: the short one
    std::optional<Centimetres> height;
    std::optional<Centimetres> drainage_layer;  // coarse layer at the bottom: medium is that much less deep
    Wall wall = Wall::plastic;
    Colour colour = Colour::unknown;
    std::optional<Litres> saucer;               // empty: none
};

struct Mulch {
    Centimetres depth{0};
    double cover = 1.0;                         // share of the surface, 0..1
};

// Drip supply that runs by itself.
struct Drip {
    Litres each{0};
    std::vector<std::chrono::minutes> at;       // local clock times of a day
    int every_days = 1;
    LocalDay first{};
};

enum class Leaves : unsigned char { unknown, few, usual, dense };
enum class Planting : unsigned char { unknown, potted, ball, bare_root, bench_graft, grafted_in_place };
enum class Stake : unsigned char { unknown, none, temporary, permanent };

struct Crown {
    Centimetres across_1{0}, across_2{0};
    std::optional<Centimetres> height;
    LocalDay measured{};
};

struct Tree {
    std::string id;                             // within the pot: a, b, …
    std::string species;                        // key of the species table
    std::string cultivar;                       // free text
    std::string rootstock;                      // key of the rootstock table, or empty
    std::string vigour;                         // very-dwarfing … own-roots, when no stock is named
    std::optional<LocalDay> planted;            // year the tree began its life as a planted tree
    std::optional<LocalDay> grafted;
    std::optional<bool> graft_taken;
    Planting planting = Planting::unknown;
    std::optional<Litres> ball;                 // root ball at planting into this pot
    Leaves leaves = Leaves::unknown;
    Stake stake = Stake::unknown;
    std::optional<Crown> crown;
    std::map<std::string, LocalDay> stages;     // observed this season, stage -> day; an observed stage wins
    double leaf_share = 1.0;                    // after pruning this season, 0..1
};

// What a bay's words mean for the model; ranges come from config/words.yaml.
struct Exposure {
    std::string bay;
    std::string light, shelter, rain;           // the words, or a share such as "60 %"
    std::string place, ground;                  // words: ground, balcony, roof, indoors; paving, grass, …
};

// The smaller container in which the trees' crowns grew until they were moved into this one.
struct GrownIn {
    double medium_l = 0;
    LocalDay until{};
};

// What was noted of a pot and holds for a while: it changes the pot's water until something else is noted or its time is over.
struct Passing {
    bool shaded = false;                        // a cloth over the tree
    std::optional<double> shade_share;          // of the light that it takes; empty: not told
    bool roofed = false;                        // against rain
    bool weeds = false;                         // seen, and not weeded since
    bool blocked = false;                       // water was seen standing, and nobody has cleared the holes since
    bool rocked = false;                        // the ball was seen loose a short while ago
};

struct PotSetup {
    std::string id;
    std::string label;
    Container container;
    std::string medium;                         // key of the media table; empty: shop_mix
    LocalDay in_this_pot_since{};               // rooted volume grows from here
    std::optional<Mulch> mulch;
    std::optional<Drip> drip;
    std::vector<Tree> trees;
    Exposure exposure;
    Passing passing;
    std::optional<GrownIn> grown_in;
};

}  // namespace tubgrove
