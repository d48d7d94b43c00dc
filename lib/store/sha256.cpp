#include "store/store.hpp"

#include <array>
#include <bit>

namespace tubgrove {

namespace {

// The first 32 bits of the fractional parts of the cube roots of the first 64 primes. Source: [FIPS180-4] 4.2.2.
constexpr std::array<std::uint32_t, 64> round_constants{
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

using Words = std::array<std::uint32_t, 8>;

// The first 32 bits of the fractional parts of the square roots of the first 8 primes. Source: [FIPS180-4] 5.3.3.
constexpr Words initial_hash{0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                             0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};

// The message schedule: 16 words of the block, then each from four earlier ones. Source: [FIPS180-4] 6.2.2 step 1.
std::array<std::uint32_t, 64> schedule_of(const char* block) {
    std::array<std::uint32_t, 64> w{};
    for (std::size_t t = 0; t < 16; ++t)
        for (std::size_t b = 0; b < 4; ++b) w[t] = w[t] << 8 | static_cast<unsigned char>(block[4 * t + b]);
    for (std::size_t t = 16; t < 64; ++t) {
        auto a = w[t - 15], b = w[t - 2];
        auto sigma0 = std::rotr(a, 7) ^ std::rotr(a, 18) ^ a >> 3;
        auto sigma1 = std::rotr(b, 17) ^ std::rotr(b, 19) ^ b >> 10;
        w[t] = sigma1 + w[t - 7] + sigma0 + w[t - 16];
    }
    return w;
}

// One block of 64 bytes. Source: [FIPS180-4] 6.2.2 steps 2 to 4; s holds a..h.
void take_block(Words& hash, const char* block) {
    auto w = schedule_of(block);
    Words s = hash;
    for (std::size_t t = 0; t < 64; ++t) {
        auto sum1 = std::rotr(s[4], 6) ^ std::rotr(s[4], 11) ^ std::rotr(s[4], 25);
        auto choice = (s[4] & s[5]) ^ (~s[4] & s[6]);
        auto t1 = s[7] + sum1 + choice + round_constants[t] + w[t];
        auto sum0 = std::rotr(s[0], 2) ^ std::rotr(s[0], 13) ^ std::rotr(s[0], 22);
        auto majority = (s[0] & s[1]) ^ (s[0] & s[2]) ^ (s[1] & s[2]);
        s = {t1 + sum0 + majority, s[0], s[1], s[2], s[3] + t1, s[4], s[5], s[6]};
    }
    for (std::size_t i = 0; i < 8; ++i) hash[i] += s[i];
}

// What follows the whole blocks: the rest, a one bit, zeros, the length in bits. Source: [FIPS180-4] 5.1.1.
std::string padded_tail(std::string_view bytes) {
    std::string tail(bytes.substr(bytes.size() / 64 * 64));
    tail += '\x80';
    tail.append((tail.size() <= 56 ? 56 : 120) - tail.size(), '\0');
    auto bits = static_cast<std::uint64_t>(bytes.size()) * 8;
    for (int shift = 56; shift >= 0; shift -= 8) tail += static_cast<char>(bits >> shift & 0xff);
    return tail;
}

}  // namespace

std::string sha256(std::string_view bytes) {
    Words hash = initial_hash;
    for (std::size_t at = 0; at + 64 <= bytes.size(); at += 64) take_block(hash, bytes.data() + at);
    auto tail = padded_tail(bytes);
    for (std::size_t at = 0; at < tail.size(); at += 64) take_block(hash, tail.data() + at);
    std::string hex;
    for (auto word : hash)
        for (int shift = 28; shift >= 0; shift -= 4) hex += "0123456789abcdef"[word >> shift & 0xf];
    return hex;
}

}  // namespace tubgrove
