#pragma once
// Questions on a terminal, or from a pipe, that can be taken back. The interview is written as straight code that
// asks one question after the other; `back` forgets the last answer and walks the code again with the answers before
// it, so that no question needs to know what came before it.
#include "intake/complaint.hpp"
#include "terminal.hpp"

#include <functional>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

// The input ended, or the person said `quit`, before the interview did.
struct InterviewEnded {};

struct Prompt {
    std::string text = {};      // "How large is it, in litres?"
    std::string usual = {};     // taken when Enter is pressed; empty: an answer is needed, unless `may_be_empty`
    std::string explains = {};  // what `?` shows
    bool may_be_empty = false;
    // The answer in the form to keep, or what is wrong with it.
    std::function<Parsed<std::string>(const std::string&)> check = {};
};

class Interview {
public:
    Interview(std::istream& in, std::ostream& out, Page page) : in_(in), out_(out), page_(page) {}

    std::string ask(const Prompt& prompt);
    bool yes(const std::string& text, bool usual, const std::string& explains = "");
    // Shown once, and not again when `back` walks over it.
    void say(const std::string& text);
    void show(const std::string& lines);  // the same, as it stands

    // Runs an interview to its end, through every `back`.
    template <class Answers>
    Answers run(const std::function<Answers(Interview&)>& questions) {
        for (;;) {
            next_ = 0;
            try {
                return questions(*this);
            } catch (const Back&) {
            }
        }
    }

private:
    struct Back {};
    std::string read(const Prompt& prompt);
    bool replaying() const { return next_ < answers_.size(); }

    std::istream& in_;
    std::ostream& out_;
    Page page_;
    std::vector<std::string> answers_;
    std::size_t next_ = 0;  // answers before it are replayed
    std::string taken_back_ = {};  // proposed again for the question that `back` returned to
};

}  // namespace tubgrove
