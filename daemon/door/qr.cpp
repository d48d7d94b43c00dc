#include "door/qr.hpp"

#include <fmt/format.h>
#include <qrencode.h>

#include <memory>

namespace tubgrove {
namespace {

constexpr int margin = 2;  // modules; the light of the line above and below adds to it

}  // namespace

std::optional<QrCode> qr_code(const std::string& text) {
    const std::unique_ptr<QRcode, void (*)(QRcode*)> made(QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M), QRcode_free);
    if (!made) return std::nullopt;
    QrCode code{.size = made->width, .dark = {}};
    for (int i = 0; i < made->width * made->width; ++i) code.dark.push_back((made->data[i] & 1) != 0);
    return code;
}

std::string qr_text(const std::string& text, bool colour) {
    const auto code = qr_code(text);
    if (!code) return {};
    std::string drawn;
    for (int y = -margin; y < code->size + margin; y += 2) {
        drawn += colour ? "  \033[97;40m" : "  ";
        for (int x = -margin; x < code->size + margin; ++x) {
            const bool above = code->light(x, y), below = code->light(x, y + 1);
            drawn += above && below ? "█" : above ? "▀" : below ? "▄" : " ";
        }
        drawn += colour ? "\033[0m\n" : "\n";
    }
    return drawn;
}

std::string qr_path(const QrCode& code) {
    std::string path;
    for (int y = 0; y < code.size; ++y)
        for (int x = 0; x < code.size; ++x) {
            if (code.light(x, y)) continue;
            const int from = x;
            while (!code.light(x + 1, y)) ++x;
            path += fmt::format("M{} {}h{}v1h-{}z", from, y, x - from + 1, x - from + 1);
        }
    return path;
}

}  // namespace tubgrove
