#pragma once
// What could stand in a word's place, and the shell scripts that ask for it.
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

// What completion needs to know of a garden; asked only when it matters, and never in the way of the shell: what
// cannot be read gives no candidates.
struct KnownNames {
    std::function<std::vector<std::string>()> pots, bays, jobs = {}, mappings = {};
    std::function<std::vector<std::string>(std::string_view set)> of_tables;   // medium, species, rootstock, vigour, stage
};

struct Candidate {
    std::string word;
    std::string says;  // may be empty
};

// What could be typed freely has no candidates: a shell puts a lone one in, and an example's litres must not end in the
// daybook.
// Candidates for the last of `words` (those after "tubgrove"; the last may be empty). The single word ":files" or
// ":folders" asks the shell to offer its own.
std::vector<Candidate> complete(std::span<const std::string> words, const KnownNames& known);

// The script for bash, zsh or fish; empty for any other.
std::string_view completion_script(std::string_view shell);

}  // namespace tubgrove
