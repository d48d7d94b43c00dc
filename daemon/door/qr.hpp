#pragma once
// QR codes: as their modules, drawn in characters, or as the path of a drawing.
#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

// A square of modules, rows from above; around it belongs a margin of four light ones.
struct QrCode {
    int size = 0;
    std::vector<bool> dark;

    bool light(int x, int y) const { return x < 0 || y < 0 || x >= size || y >= size || !dark[std::size_t(y) * std::size_t(size) + std::size_t(x)]; }
};

// Empty when the text is too long for a code.
std::optional<QrCode> qr_code(const std::string& text);

// Two rows of modules to a line. Dark on light where colours are shown; else drawn for a dark screen, which cameras read on a
// light one too. Empty when the text is too long.
std::string qr_text(const std::string& text, bool colour);

// The dark modules as the `d` of an SVG path, a unit a module.
std::string qr_path(const QrCode&);

}  // namespace tubgrove
