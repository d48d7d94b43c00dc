#pragma once

namespace tubgrove {

// Gives memory back to the system that is not in use: what was freed but kept for later, and pages of the program and its libraries,
// which the system maps in bulk around each one that is touched; those that are needed again come back by themselves.
// A list takes megabytes for a second, a day has 86,400 of them, and the board has other things to do. Takes a few milliseconds.
void give_back_memory() noexcept;

}  // namespace tubgrove
