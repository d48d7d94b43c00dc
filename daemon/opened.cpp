#include "opened.hpp"

#include "face.hpp"
#include "intake/read_configuration.hpp"
#include "intake/tables.hpp"
#include "processors.hpp"
#include "safe_file.hpp"

#include <chrono>
#include <cstdlib>

namespace tubgrove {
namespace {

std::vector<std::string> formatted(const Complaints& complaints) {
    std::vector<std::string> lines;
    for (const auto& complaint : complaints) lines.push_back(format(complaint));
    return lines;
}

void add(Complaints& all, const Complaints& more) { all.insert(all.end(), more.begin(), more.end()); }

}  // namespace

ReadSettings read_settings(const Places& places) {
    std::error_code none;
    if (!std::filesystem::exists(places.configuration, none))
        refuse("there is no configuration at " + places.configuration.string(),
               "tubgrove setup makes one, and --config FILE names another");
    if (std::filesystem::is_directory(places.configuration, none))
        refuse(places.configuration.string() + " is a folder", "the configuration in it, such as --config " +
                                                                   (places.configuration / "tubgrove.yaml").string());
    ReadSettings settings;
    settings.text = read_whole(places.configuration);
    auto configuration = read_configuration(places.configuration.string(), settings.text);
    settings.configuration = std::move(configuration.value);
    settings.complaints = std::move(configuration.complaints);
    std::vector<TableText> own;
    if (std::filesystem::path folder = settings.configuration.tables; !folder.empty()) {
        if (folder.is_relative()) folder = places.configuration.parent_path() / folder;
        auto read = read_table_folder(folder.string());
        own = std::move(read.value);
        add(settings.complaints, read.complaints);
    }
    auto tables = read_tables(own);
    settings.tables = std::move(tables.value);
    settings.tables_text = tables_text(own);
    add(settings.complaints, tables.complaints);
    return settings;
}

namespace {

ReadSettings settings_in_order(const Places& places) {
    auto settings = read_settings(places);
    if (!settings.complaints.empty()) throw Refused{formatted(settings.complaints)};
    return settings;
}

Opened opened_with(const Places& places, const Configuration& configuration, GardenTexts texts, std::shared_ptr<const Tables> tables) {
    Opened opened{.places = places, .tables = std::move(tables), .store = nullptr, .garden = nullptr};
    opened.store = std::make_unique<Store>(Store::open(places.data));
    opened.garden = std::make_unique<Garden>(configuration, std::move(texts), *opened.tables, *opened.store);
    opened.garden->use(on_all_processors);
    return opened;
}

}  // namespace

Opened open_garden(const Places& places) {
    auto settings = settings_in_order(places);
    return opened_with(places, settings.configuration, {.configuration = std::move(settings.text), .tables = std::move(settings.tables_text)},
                       std::make_shared<const Tables>(std::move(settings.tables)));
}

std::pair<Opened, Opened> open_garden_twice(const Places& places) {
    auto settings = settings_in_order(places);
    const auto tables = std::make_shared<const Tables>(std::move(settings.tables));
    const GardenTexts texts{.configuration = std::move(settings.text), .tables = std::move(settings.tables_text)};
    return {opened_with(places, settings.configuration, texts, tables), opened_with(places, settings.configuration, texts, tables)};
}

Instant clock_now() { return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now()); }

std::optional<Instant> machine_clock() {
    const char* said = std::getenv("TUBGROVE_CLOCK");
    if (said != nullptr && std::string_view(said) == "set") return std::nullopt;
    return clock_now();
}

View view_of(const Asked& asked, const Garden& garden) {
    View view;
    view.now = clock_now();
    view.hindsight = asked.has("--hindsight");
    view.recompute = asked.has("--recompute");
    if (view.hindsight && !asked.has("--at")) refuse("--hindsight looks back at a moment", "--at TIME --hindsight");
    if (!asked.has("--at")) return view;
    const std::string at = asked.value("--at");
    view.replay = true;
    view.machine = machine_clock();
    const Seen seen{view.now, garden.zone()};
    if (const auto day = read_day(at, seen); const LocalDay* said = good(day)) {
        view.now = garden.hour_of_issue(*said);
        return view;
    }
    const auto time = read_time(at, seen);
    if (good(time) == nullptr) refuse("--at: " + fault(time).what, "2026-07-14 for that morning's list, " + fault(time).right);
    view.now = *good(time);
    return view;
}

}  // namespace tubgrove
