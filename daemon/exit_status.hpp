#pragma once
// What the program tells the shell. Scripts rely on these numbers; they never change their meaning.

namespace tubgrove {

enum class ExitStatus : int {
    done = 0,
    not_in_order = 1,   // the question was answered, and the answer is that something is wrong (a failed `check`)
    wrong_words = 2,    // wrong usage or wrong input; nothing was written
    machine_fault = 3,  // disk, database, memory
};

}  // namespace tubgrove
