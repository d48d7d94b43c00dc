#pragma once
// Fingerprints of what an estimate rests on, so that a kept state is used only where nothing before it has changed.
#include "climate/day_record.hpp"
#include "ensemble/history.hpp"
#include "garden/pot_life.hpp"

#include <bit>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

// FNV-1a over words of 64 bits. It finds changes by accident, not by intent: the cache lies beside the store and is as
// trusted as the store is.
class Fingerprint {
public:
    explicit Fingerprint(std::uint64_t from = 0xcbf29ce484222325ULL) : hash_(from) {}
    void add(std::uint64_t word) {
        for (int i = 0; i < 8; ++i) hash_ = (hash_ ^ ((word >> (8 * i)) & 0xff)) * 0x100000001b3ULL;
    }
    void add(double number) { add(std::bit_cast<std::uint64_t>(number)); }
    void add(Instant t) { add(std::uint64_t(t.time_since_epoch().count())); }
    void add(std::string_view text) {
        for (unsigned char c : text) hash_ = (hash_ ^ c) * 0x100000001b3ULL;
        add(std::uint64_t(text.size()));
    }
    std::uint64_t value() const { return hash_; }
    std::string hex() const;

private:
    std::uint64_t hash_;
};

// For each day the fingerprint of it and all days before it.
std::vector<std::uint64_t> day_fingerprints(std::span<const DayRecord> days);

// Of a pot's history before a moment: facts, bays' words and events.
std::uint64_t history_fingerprint(const PotLife& life, const PotHistory& history, Instant before);

}  // namespace tubgrove
