// What concerns the garden as a whole: checking, copying, exporting.
#include "run.hpp"

#include "garden/site_doubts.hpp"
#include "intake/read_configuration.hpp"
#include "phrases.hpp"
#include "safe_file.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <ostream>

namespace tubgrove {
namespace {

// A store is looked into only where there is one: to check must not make a daybook.
Complaints complaints_of_pots(const Places& places) {
    std::error_code none;
    if (!std::filesystem::exists(places.data, none)) return {};
    return open_garden(places).garden->unknown_names({.now = clock_now()});
}

Complaints doubts_of_site(const ReadSettings& settings, const std::string& file) {
    const auto& site = settings.configuration.site;
    auto doubts = site_doubts(site, Zone::find(site.timezone).value(), clock_now(), settings.tables.priors.fixed(PriorKey::zone_off_sun_h));
    for (auto& doubt : doubts) doubt.file = file;
    return doubts;
}

CheckAnswer checked(const Places& places) {
    const auto settings = read_settings(places);
    CheckAnswer answer{.configuration = places.configuration.string(), .complaints = settings.complaints, .understood = {}};
    if (answer.complaints.empty()) {
        answer.complaints = doubts_of_site(settings, answer.configuration);
        for (auto& complaint : complaints_of_pots(places)) answer.complaints.push_back(std::move(complaint));
    }
    if (answer.complaints.empty()) answer.understood = describe(settings.configuration);
    return answer;
}

std::string draw_check(const CheckAnswer& answer, Page page) {
    std::string complaints;
    for (const auto& complaint : answer.complaints) complaints += without_controls(format(complaint)) + "\n";
    if (!complaints.empty()) return complaints;
    Drawing drawing(page);
    drawing.paragraph({0, 2}, answer.configuration + " is in order. Understood:");
    for (const auto& line : answer.understood) drawing.paragraph({2, 4}, line);
    return drawing.text();
}

// Files go to a folder that is there, or that can be made, and that may be written. Else a refusal before anything is touched.
void require_folder(const std::filesystem::path& folder, std::string_view right) {
    std::error_code none;
    if (!std::filesystem::exists(folder, none)) std::filesystem::create_directories(folder, none);
    if (!std::filesystem::is_directory(folder, none))
        refuse("the folder " + folder.string() + " is not there and cannot be made", std::string(right));
    // Tried out, since rights do not tell of a disk that cannot be written, nor of a folder that only looks like one.
    std::string probe = (folder / ".tubgrove.XXXXXX").string();
    const int descriptor = ::mkostemp(probe.data(), O_CLOEXEC);
    const bool never = descriptor < 0 && (errno == EACCES || errno == EPERM || errno == EROFS || errno == ENOENT);
    if (never) refuse("nothing can be written in the folder " + folder.string(), std::string(right));
    if (descriptor < 0) return;  // a full disk, say, which is the machine's fault and told as such
    ::close(descriptor);
    ::unlink(probe.c_str());
}

}  // namespace

void show_files(const Face& face, const FilesAnswer& answer) {
    if (face.json) {
        face.out << to_json(answer);
        return;
    }
    for (const auto& file : answer.files) face.out << file.text << ": " << without_controls(file.file) << '\n';
}

ExitStatus run_check(const Places& places, const Face& face) {
    const auto answer = checked(places);
    face.out << (face.json ? to_json(answer) : draw_check(answer, face.page));
    return answer.complaints.empty() ? ExitStatus::done : ExitStatus::not_in_order;
}

ExitStatus run_backup(const Places& places, const Asked& asked, const Face& face) {
    const auto folder = std::filesystem::path(asked.arguments[0]).parent_path();
    std::error_code none;
    if (!folder.empty() && !std::filesystem::is_directory(folder, none))
        refuse("there is no folder " + folder.string(), "a name in a folder that is there, such as one on another disk");
    require_folder(folder.empty() ? "." : folder, "a name in a folder that you may write to");
    Store::open(places.data).backup(asked.arguments[0]);
    show_files(face, {.files = {{.code = "backup", .file = asked.arguments[0], .text = "Copied"}}, .changes = {}});
    return ExitStatus::done;
}

ExitStatus run_restore(const Places& places, const Asked& asked, const Face& face) {
    std::error_code none;
    if (!std::filesystem::is_regular_file(asked.arguments[0], none))
        refuse("there is no file " + asked.arguments[0], "a file that tubgrove backup wrote");
    const SignalsHeld held;
    const auto kept = Store::restore(places.data, asked.arguments[0]);
    FilesAnswer answer{.files = {{.code = "restored", .file = asked.arguments[0], .text = "Restored from"}}, .changes = {}};
    if (!kept.empty())
        answer.files.push_back({.code = "kept", .file = kept.string(), .text = "What stood there before is kept"});
    show_files(face, answer);
    return ExitStatus::done;
}

ExitStatus run_export(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    const auto outcome = opened.garden->export_all(view);
    if (const auto* refusal = std::get_if<Refusal>(&outcome)) refuse(refusal->what, refusal->right);
    const auto& answer = std::get<ExportAnswer>(outcome);
    const std::filesystem::path folder = asked.has("--into") ? asked.value("--into") : ".";
    const auto garden = folder / "tubgrove-garden.yaml", daybook = folder / "tubgrove-daybook.csv";
    std::error_code none;
    if (std::filesystem::exists(folder, none) && !std::filesystem::is_directory(folder, none))
        refuse(folder.string() + " is no folder", "a folder: --into DIR");
    require_folder(folder, "a folder that you may write to: --into DIR");
    for (const auto& file : {garden, daybook})
        if (std::filesystem::exists(file)) refuse(file.string() + " is there already", "another folder: --into DIR");
    if (!write_new(garden, answer.garden_yaml) || !write_new(daybook, answer.daybook_csv))
        refuse("another program has just written there", "another folder: --into DIR");
    show_files(face, {.files = {{.code = "garden", .file = garden.string(), .text = "Pots and trees"},
                                {.code = "daybook", .file = daybook.string(), .text = "Daybook"}},
                      .changes = {}});
    return ExitStatus::done;
}

}  // namespace tubgrove
