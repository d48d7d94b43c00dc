#pragma once
// A QR code drawn in characters, two rows of it to a line.
#include <string>

namespace tubgrove {

// Dark on light where colours are shown; else drawn for a dark screen, which cameras read on a light one too. Empty when
// the text is too long for a code.
std::string qr_text(const std::string& text, bool colour);

}  // namespace tubgrove
