// What concerns the garden as a whole: checking, copying, exporting.
#include "run.hpp"

#include "intake/read_configuration.hpp"
#include "phrases.hpp"
#include "safe_file.hpp"

#include <ostream>

namespace tubgrove {
namespace {

void wrote(const Face& face, const std::string& what, const std::filesystem::path& file) {
    face.out << what << ": " << without_controls(file.string()) << '\n';
}

}  // namespace

ExitStatus run_check(const Places& places, const Face& face) {
    const auto settings = read_settings(places);
    if (!settings.complaints.empty()) {
        for (const auto& complaint : settings.complaints) face.out << without_controls(format(complaint)) << '\n';
        return ExitStatus::not_in_order;
    }
    Drawing drawing(face.page);
    drawing.paragraph({0, 2}, places.configuration.string() + " is in order. Understood:");
    for (const auto& line : describe(settings.configuration)) drawing.paragraph({2, 4}, line);
    face.out << drawing.text();
    return ExitStatus::done;
}

ExitStatus run_backup(const Places& places, const Asked& asked, const Face& face) {
    Store::open(places.data).backup(asked.arguments[0]);
    wrote(face, "Copied", asked.arguments[0]);
    return ExitStatus::done;
}

ExitStatus run_restore(const Places& places, const Asked& asked, const Face& face) {
    std::error_code none;
    if (!std::filesystem::is_regular_file(asked.arguments[0], none))
        refuse("there is no file " + asked.arguments[0], "a file that tubgrove backup wrote");
    const SignalsHeld held;
    const auto kept = Store::restore(places.data, asked.arguments[0]);
    wrote(face, "Restored from", asked.arguments[0]);
    if (!kept.empty()) wrote(face, "What stood there before is kept", kept);
    return ExitStatus::done;
}

ExitStatus run_export(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    const auto outcome = opened.garden->export_all(view);
    if (const auto* refusal = std::get_if<Refusal>(&outcome)) refuse(refusal->what, refusal->right);
    const auto& answer = std::get<ExportAnswer>(outcome);
    const std::filesystem::path folder = asked.has("--into") ? asked.value("--into") : ".";
    const auto garden = folder / "tubgrove-garden.yaml", daybook = folder / "tubgrove-daybook.csv";
    for (const auto& file : {garden, daybook})
        if (std::filesystem::exists(file)) refuse(file.string() + " is there already", "another folder: --into DIR");
    if (!write_new(garden, answer.garden_yaml) || !write_new(daybook, answer.daybook_csv))
        refuse("another program has just written there", "another folder: --into DIR");
    wrote(face, "Pots and trees", garden);
    wrote(face, "Daybook", daybook);
    return ExitStatus::done;
}

}  // namespace tubgrove
