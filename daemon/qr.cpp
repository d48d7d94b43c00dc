#include "qr.hpp"

#include <qrencode.h>

#include <memory>

namespace tubgrove {
namespace {

constexpr int margin = 2;  // modules; the light of the line above and below adds to it

struct Code {
    const QRcode& code;
    bool light(int x, int y) const {
        if (x < 0 || y < 0 || x >= code.width || y >= code.width) return true;
        return (code.data[y * code.width + x] & 1) == 0;
    }
};

}  // namespace

std::string qr_text(const std::string& text, bool colour) {
    const std::unique_ptr<QRcode, void (*)(QRcode*)> made(QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_M), QRcode_free);
    if (!made) return {};
    const Code code{*made};
    std::string drawn;
    for (int y = -margin; y < made->width + margin; y += 2) {
        drawn += colour ? "  \033[97;40m" : "  ";
        for (int x = -margin; x < made->width + margin; ++x) {
            const bool above = code.light(x, y), below = code.light(x, y + 1);
            drawn += above && below ? "█" : above ? "▀" : below ? "▄" : " ";
        }
        drawn += colour ? "\033[0m\n" : "\n";
    }
    return drawn;
}

}  // namespace tubgrove
