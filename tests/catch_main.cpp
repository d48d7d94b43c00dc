// Catch2 v2 has no prebuilt main: built once, linked into every test program.
#define CATCH_CONFIG_MAIN
#include <catch2/catch.hpp>
