#pragma once
// The page that text is drawn on: how wide it is, whether it shows colour, and words wrapped to fit.
#include <initializer_list>
#include <string>
#include <string_view>

namespace tubgrove {

struct Page {
    int width = 80;       // columns, at least 20
    bool colour = false;  // colour only ever repeats what the words say
};

// The page behind a file descriptor. A terminal gives its own width, at most 100 columns, because long lines are
// hard to follow; anything else is 80 columns without colour. NO_COLOR and TERM=dumb switch colour off.
Page page_of(int descriptor);
bool is_terminal(int descriptor);

// Columns that UTF-8 text takes on a terminal: combining marks take none, wide East Asian characters two.
int columns(std::string_view text);
// Control characters would let a label move the cursor or recolour the screen: they become a visible mark.
std::string without_controls(std::string_view text);
// Filled up with blanks to a number of columns; longer text stays whole.
std::string pad_right(std::string_view text, int width);
std::string pad_left(std::string_view text, int width);

enum class Style : unsigned char { plain, strong, faint, warning, danger };

struct Piece {
    std::string text;
    Style style = Style::plain;
};

struct Indent {
    int first = 0;  // of the paragraph's first line
    int rest = 0;   // of the lines that follow
};

// A no-break space: keeps a number and its unit on one line. Drawn as a plain blank.
inline constexpr std::string_view nbsp = "\u00a0";

// Blanks that stay where they are and are not wrapped at.
std::string kept(std::string_view text);

// Text that grows downwards on a page.
class Drawing {
public:
    explicit Drawing(Page page) : page_(page) {}

    // Words wrapped to the page; a word longer than a line is cut. Runs of blanks count as one.
    void paragraph(Indent indent, std::initializer_list<Piece> pieces);
    void paragraph(Indent indent, std::string_view text) { paragraph(indent, {{std::string(text)}}); }
    void heading(std::string_view text) { paragraph({0, 2}, {{std::string(text), Style::strong}}); }
    // A line of fixed layout such as a table's row: not wrapped, blanks kept, trailing blanks dropped.
    void row(std::string_view text, Style style = Style::plain);
    void blank();  // one empty line, never two, never at the top

    const Page& page() const { return page_; }
    const std::string& text() const { return text_; }

private:
    void put(std::string_view text, Style style);
    void turn(Style style);  // what is drawn from here on
    void end_line();         // plain again, trailing blanks dropped
    Page page_;
    std::string text_;
    Style open_ = Style::plain;
};

}  // namespace tubgrove
