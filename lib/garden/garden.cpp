#include "garden/garden.hpp"

#include "garden/inside.hpp"
#include "intake/tables.hpp"

#include <stdexcept>

namespace tubgrove {
namespace {

Zone zone_of(const Configuration& configuration) {
    auto zone = Zone::find(configuration.site.timezone);
    if (!zone) throw std::invalid_argument("the zone database does not know " + configuration.site.timezone);
    return *zone;
}

void one_after_the_other(std::size_t count, const std::function<void(std::size_t)>& work) {
    for (std::size_t i = 0; i < count; ++i) work(i);
}

}  // namespace

Garden::Garden(Configuration configuration, GardenTexts texts, const Tables& tables, Store& store) {
    auto zone = zone_of(configuration);
    inside_ = std::make_unique<Inside>(Inside{.configuration = std::move(configuration),
                                              .configuration_text = std::move(texts.configuration),
                                              .tables = tables,
                                              .store = store,
                                              .zone = std::move(zone),
                                              .tables_text = std::move(texts.tables),
                                              .kept_here = {},
                                              .for_each = one_after_the_other,
                                              .forecasts = {.figures = tables.figures}});
}

Garden::~Garden() = default;
Garden::Garden(Garden&&) noexcept = default;

void Garden::use(ForEach for_each) { inside_->for_each = std::move(for_each); }

const Configuration& Garden::configuration() const { return inside_->configuration; }
const Zone& Garden::zone() const { return inside_->zone; }

Instant Garden::hour_of_issue(LocalDay day) const {
    return morning_walk(inside_->configuration.walks, inside_->zone, day).issues;
}

Names Garden::Inside::names(const std::vector<PotLife>& lives) const {
    std::vector<std::string> bays, pots;
    for (const auto& bay : configuration.bays) bays.push_back(bay.id);
    for (const auto& life : lives) pots.push_back(life.id);
    return names_of(tables, std::move(bays), std::move(pots));
}

}  // namespace tubgrove
