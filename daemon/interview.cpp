#include "interview.hpp"

#include <algorithm>
#include <istream>
#include <ostream>
#include <utility>

namespace tubgrove {
namespace {

std::string trimmed_line(const std::string& line) {
    const auto first = line.find_first_not_of(" \t\r");
    if (first == std::string::npos) return "";
    return line.substr(first, line.find_last_not_of(" \t\r") - first + 1);
}

}  // namespace

void Interview::say(const std::string& text) {
    if (replaying()) return;
    Drawing drawing(page_);
    drawing.paragraph({0, 0}, text);
    out_ << '\n' << drawing.text();
}

void Interview::show(const std::string& lines) {
    if (!replaying()) out_ << lines << std::flush;
}

std::string Interview::read(const Prompt& prompt) {
    Drawing drawing(page_);
    drawing.paragraph({0, 2}, {{prompt.text, Style::strong},
                               {prompt.usual.empty() ? "" : " [" + without_controls(prompt.usual) + "]"}});
    std::string shown = drawing.text();
    shown.pop_back();
    out_ << shown << ' ' << std::flush;
    std::string line;
    if (!std::getline(in_, line)) {
        out_ << '\n';
        throw InterviewEnded{};
    }
    return trimmed_line(line);
}

std::string Interview::ask(const Prompt& asked) {
    if (replaying()) return answers_[next_++];
    Prompt prompt = asked;
    if (!taken_back_.empty()) prompt.usual = std::exchange(taken_back_, {});   // what was said before stands in brackets
    const auto note = [&](const std::string& text) {
        Drawing drawing(page_);
        drawing.paragraph({2, 2}, text);
        out_ << drawing.text();
    };
    for (;;) {
        std::string said = read(prompt);
        if (said == "quit") throw InterviewEnded{};
        if (said == "back") {
            if (answers_.empty()) {
                note("This is the first question.");
                continue;
            }
            taken_back_ = answers_.back();
            answers_.pop_back();
            throw Back{};
        }
        if (said == "?") {
            note(prompt.explains.empty() ? "There is no more to say about this one." : prompt.explains);
            continue;
        }
        if (said.empty()) said = prompt.usual;
        if (said.empty() && !prompt.may_be_empty) {
            note("This one needs an answer; ? explains it, back goes to the question before.");
            continue;
        }
        if (!said.empty() && prompt.check) {
            const auto checked = prompt.check(said);
            if (good(checked) == nullptr) {
                note(fault(checked).what + "; " + fault(checked).right);
                continue;
            }
            said = *good(checked);
        }
        answers_.push_back(said);
        next_ = answers_.size();
        return said;
    }
}

bool Interview::yes(const std::string& text, bool usual, const std::string& explains) {
    const auto check = [](const std::string& said) -> Parsed<std::string> {
        if (said == "y" || said == "Y" || said == "yes" || said == "Yes") return std::string("yes");
        if (said == "n" || said == "N" || said == "no" || said == "No") return std::string("no");
        return Fault{tubgrove::quoted(said) + " is neither", "yes or no"};
    };
    return ask({.text = text,
                .usual = usual ? "yes" : "no",
                .explains = explains,
                .may_be_empty = false,
                .check = check}) == "yes";
}

}  // namespace tubgrove
