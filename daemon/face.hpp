#pragma once
// What every command of the command line needs: where answers and talk go, and how a command ends early.
#include "exit_status.hpp"
#include "garden/answers.hpp"
#include "garden/json.hpp"
#include "terminal.hpp"

#include <iosfwd>
#include <string>
#include <vector>

namespace tubgrove {

struct Face {
    std::ostream& out;  // answers
    std::ostream& err;  // talk
    Page page;          // of the answers
    bool json = false;
};

// Wrong words or wrong input: ends the command with status 2, one line of talk each.
struct Refused {
    std::vector<std::string> lines;
    Refusal parts = {};   // the same as what is wrong and what would be right; empty where each line says both of its own
};

[[noreturn]] inline void refuse(std::string what, const std::string& right) {
    throw Refused{{right.empty() ? what : what + "; " + right}, {std::move(what), right}};
}

// Talk: each line of the text as "tubgrove: …".
void talk(std::ostream& err, const std::string& text);

// Shows an answer as its drawing or as its JSON; a refusal as talk, and as JSON too where JSON was asked for.
template <class Answer, class Draw>
ExitStatus show(const Face& face, const Outcome<Answer>& outcome, const Zone& zone, Draw&& draw) {
    if (const auto* refusal = std::get_if<Refusal>(&outcome)) {
        if (face.json) face.out << to_json(*refusal);
        talk(face.err, refusal->right.empty() ? refusal->what : refusal->what + "; " + refusal->right);
        return ExitStatus::wrong_words;
    }
    const Answer& answer = std::get<Answer>(outcome);
    if (face.json)
        face.out << to_json(answer, zone);
    else
        face.out << draw(answer);
    return ExitStatus::done;
}

}  // namespace tubgrove
