// Labels for the pots, on the terminal or as a page to print.
#include "door/labels.hpp"
#include "door/qr.hpp"
#include "phrases.hpp"
#include "run.hpp"
#include "safe_file.hpp"

#include <filesystem>
#include <ostream>

namespace tubgrove {
namespace {

std::string draw_labels(const LabelsAnswer& answer, Page page) {
    if (answer.labels.empty()) return "No pot is in the garden yet.\n";
    std::string text;
    for (const auto& label : answer.labels) {
        Drawing drawing(page);
        drawing.heading("Pot " + label.pot + (label.label.empty() || label.label == label.pot ? "" : ", " + label.label));
        drawing.paragraph({0, 0}, label.trees.empty() ? "no tree" : label.trees);
        drawing.paragraph({0, 0}, label.link);
        text += drawing.text() + qr_text(label.link, page.colour) + "\n";
    }
    return text;
}

}  // namespace

ExitStatus run_labels(Opened& opened, const Asked& asked, const View& view, const Face& face) {
    const auto outcome = labels_of(*opened.garden, view, asked.arguments, asked.value("--link"));
    if (const auto* answer = std::get_if<LabelsAnswer>(&outcome)) {
        if (!answer->from_elsewhere) talk(face.err, only_here);
        if (asked.has("--into")) {
            const std::filesystem::path file = asked.value("--into");
            if (!write_new(file, labels_page(*answer))) refuse(file.string() + " is there already", "another file: --into FILE");
            show_files(face, {.files = {{.code = "labels", .file = file.string(), .text = "Labels to print"}}, .changes = {}});
            return ExitStatus::done;
        }
    }
    return show(face, outcome, opened.garden->zone(), [&](const LabelsAnswer& answer) { return draw_labels(answer, face.page); });
}

}  // namespace tubgrove
