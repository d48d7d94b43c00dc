#pragma once
// Who may come in from elsewhere: a token a person, held by their phone, one-time codes that are turned into tokens, and
// tokens for a calendar program, which stand in an address and so open nothing but the calendar. They
// lie in a file of their own beside the store, mode 0600, only as digests, so that neither a backup of the daybook nor a look
// into the file lets anybody in.
#include "calendar.hpp"
#include "door/gate.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

struct Token {
    int number = 0;
    std::string name = {};               // empty: the gardener
    Instant made = {};
    std::optional<Instant> until = {};   // it has ended from then on
    std::string digest = {};
    bool calendar = false;               // it reads the calendar and nothing else
    int phone = 0;                       // of a calendar: the token that asked for it, with which it ends; 0: none
};

struct Code {
    std::string name = {};
    Instant expires = {};
    std::optional<Instant> until = {};   // of the token that it will become
    std::string digest = {};
};

// Where a calendar is read with its token.
inline std::string calendar_path(std::string_view secret) { return "/calendar.ics?token=" + std::string(secret); }

inline constexpr std::chrono::minutes code_lives{10};
inline constexpr std::size_t most_codes = 8, most_tokens = 200;

class TokenBook {
public:
    // The book of a data directory; the file comes into being with the first code.
    explicit TokenBook(std::filesystem::path directory);

    // Each throws StoreFault where the file has another owner or lets others in, or cannot be read or written.

    // A new code for a person, "K7QM-3XPD", good once and for ten minutes.
    std::string offer(const std::string& name, std::optional<Instant> until, Instant now);
    struct Claimed {
        std::string secret;  // told once, here
        Token token;
    };
    // Turns a code into a token; empty when it is unknown, used or too old. Small letters and lost hyphens do not matter.
    std::optional<Claimed> claim(std::string_view code, Instant now);
    // A token for a person's calendar program. `like`: the number of the token that asks for it, with which it ends; 0: none.
    // Empty when too many hold already.
    std::optional<Claimed> calendar(const std::string& name, std::optional<Instant> until, Instant now, int like = 0);
    // The person of a token that holds. Looks at the file's dates only, as long as nobody has written it.
    std::optional<Person> person(std::string_view secret, Instant now);
    // The tokens that hold, by number.
    std::vector<Token> tokens(Instant now);
    // Ends a token and the calendars that it asked for. The numbers that ended, its own first; none when no such token holds.
    [[nodiscard]] std::vector<int> end(int number, Instant now);

    const std::filesystem::path& file() const { return file_; }

private:
    struct Page {
        int next = 1;  // number of the next token; never used twice
        std::vector<Token> tokens = {};
        std::vector<Code> codes = {};
    };
    struct Stamp {
        long long seconds = -1, nanoseconds = 0, inode = 0, bytes = 0;
        friend bool operator==(const Stamp&, const Stamp&) = default;
    };
    Page read() const;
    void write(const Page& page) const;
    Stamp stamp() const;
    static Page parse(const std::string& text, const std::filesystem::path& file);

    std::filesystem::path file_;
    Stamp seen_ = {};
    Page known_ = {};
};

}  // namespace tubgrove
