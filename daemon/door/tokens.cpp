#include "door/tokens.hpp"

#include "intake/quantity.hpp"
#include "store/store.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <span>
#include <sstream>

namespace tubgrove {
namespace {

namespace fs = std::filesystem;
using Kind = StoreFault::Kind;

constexpr std::string_view first_line = "tubgrove tokens 1";
constexpr std::size_t longest_file_bytes = 256 * 1024;

[[noreturn]] void fail(const fs::path& path, std::string_view doing) {
    const int error = errno;
    const Kind kind = error == ENOSPC || error == EDQUOT ? Kind::full : error == EROFS ? Kind::read_only
                      : error == EACCES || error == EPERM ? Kind::permissions : Kind::disk;
    throw StoreFault(kind, fmt::format("{}: cannot {}: {}", path.string(), doing, std::strerror(error)));
}

// A descriptor that closes itself.
class Descriptor {
public:
    explicit Descriptor(int number) : number_(number) {}
    ~Descriptor() { if (number_ >= 0) ::close(number_); }
    Descriptor(const Descriptor&) = delete;
    int number() const { return number_; }

private:
    int number_;
};

void give_to_owner_of(int descriptor, const fs::path& directory) {
    struct stat home {};
    if (::geteuid() == 0 && ::stat(directory.c_str(), &home) == 0) (void)!::fchown(descriptor, home.st_uid, home.st_gid);
}

// Between two programs that write the book at once, the second waits.
class Lock {
public:
    explicit Lock(const fs::path& file)
        : descriptor_(::open((file.string() + ".lock").c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0600)) {
        if (descriptor_.number() < 0) fail(file, "be locked; run it as the owner of the data folder");
        give_to_owner_of(descriptor_.number(), file.parent_path());
        if (::flock(descriptor_.number(), LOCK_EX) != 0) fail(file, "be locked");
    }

private:
    Descriptor descriptor_;
};

std::string random_bytes(std::size_t count) {
    std::string bytes(count, '\0');
    for (std::size_t got = 0; got < count;) {
        const auto more = ::getrandom(bytes.data() + got, count - got, 0);
        if (more < 0 && errno == EINTR) continue;
        if (more < 0) throw std::runtime_error("the system gives no random bytes");
        got += std::size_t(more);
    }
    return bytes;
}

// Digits and letters that nobody takes for one another.
constexpr std::string_view code_letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

std::string new_code() {
    std::string code;
    for (const unsigned char byte : random_bytes(8)) code += code_letters[byte % code_letters.size()];
    return code.substr(0, 4) + "-" + code.substr(4);
}

// As it was made, however it was typed.
std::string plain_code(std::string_view typed) {
    std::string plain;
    for (char c : typed) {
        if (c == '-' || c == ' ') continue;
        c = char(std::toupper(static_cast<unsigned char>(c)));
        plain += c == 'O' ? '0' : c == 'I' || c == 'L' ? '1' : c;
    }
    return plain;
}

std::string new_secret() {
    constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    std::string secret;
    for (const unsigned char byte : random_bytes(43)) secret += letters[byte % 64];
    return secret;
}

std::string when(const std::optional<Instant>& t) { return t ? format_rfc3339(*t, Zone::utc()) : "-"; }

std::vector<std::string> columns_of(const std::string& line) {
    std::vector<std::string> columns;
    std::istringstream in(line);
    for (std::string column; std::getline(in, column, '\t');) columns.push_back(column);
    if (line.ends_with('\t')) columns.emplace_back();
    return columns;
}

// A column as a time; "-" is none. Throws where it is neither.
std::optional<Instant> time_in(const std::string& column, const fs::path& file) {
    if (column == "-") return std::nullopt;
    const auto time = parse_rfc3339(column);
    if (!time) throw StoreFault(Kind::corrupt, fmt::format("{}: {} is no time", file.string(), tubgrove::quoted(column)));
    return *time;
}

int number_in(const std::string& column, const fs::path& file) {
    const auto number = parse_count(column, 1, 1'000'000'000);
    if (!good(number)) throw StoreFault(Kind::corrupt, fmt::format("{}: {} is no token's number", file.string(), tubgrove::quoted(column)));
    return int(*good(number));
}

bool holds(const Token& token, Instant now) { return !token.until || now < *token.until; }

std::string whole(int descriptor, const fs::path& file) {
    std::string text;
    std::array<char, 4096> part;
    for (;;) {
        const auto got = ::read(descriptor, part.data(), part.size());
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) fail(file, "be read");
        if (got == 0) return text;
        text.append(part.data(), std::size_t(got));
        if (text.size() > longest_file_bytes) throw StoreFault(Kind::corrupt, file.string() + ": is too long");
    }
}

}  // namespace

TokenBook::TokenBook(fs::path directory) : file_(std::move(directory) / "tubgrove-tokens") {}

TokenBook::Stamp TokenBook::stamp() const {
    struct stat status {};
    if (::lstat(file_.c_str(), &status) != 0) return {};
    return {.seconds = status.st_mtim.tv_sec, .nanoseconds = status.st_mtim.tv_nsec, .inode = (long long)status.st_ino,
            .bytes = status.st_size};
}

TokenBook::Page TokenBook::parse(const std::string& text, const fs::path& file) {
    Page page;
    std::istringstream lines(text);
    std::string line;
    if (!std::getline(lines, line) || line != first_line)
        throw StoreFault(Kind::not_a_store, file.string() + ": is no book of tokens; move it away, and pair again");
    while (std::getline(lines, line)) {
        const auto columns = columns_of(line);
        const auto number = columns.size() > 1 ? parse_count(columns[1], 1, 1'000'000'000) : Parsed<long>(Fault{});
        const bool calendar = columns[0] == "calendar";
        if (columns[0] == "next" && columns.size() == 2 && good(number))
            page.next = int(*good(number));
        else if ((columns[0] == "token" || calendar) && (columns.size() == 6 || (calendar && columns.size() == 7)) && good(number))
            page.tokens.push_back({.number = int(*good(number)), .name = columns[5],
                                   .made = time_in(columns[3], file).value_or(Instant{}),
                                   .until = time_in(columns[4], file), .digest = columns[2], .calendar = calendar,
                                   .phone = columns.size() == 7 ? number_in(columns[6], file) : 0});
        else if (columns[0] == "code" && columns.size() == 5)
            page.codes.push_back({.name = columns[4], .expires = time_in(columns[2], file).value_or(Instant{}),
                                  .until = time_in(columns[3], file), .digest = columns[1]});
        else
            throw StoreFault(Kind::corrupt, fmt::format("{}: {} is no line of it", file.string(), tubgrove::quoted(line)));
    }
    return page;
}

TokenBook::Page TokenBook::read() const {
    const Descriptor in(::open(file_.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW));
    if (in.number() < 0 && errno == ENOENT) return {};
    if (in.number() < 0) fail(file_, "be read; run it as the owner of the data folder");
    struct stat status {};
    if (::fstat(in.number(), &status) != 0) fail(file_, "be looked at");
    if (!S_ISREG(status.st_mode) || (status.st_mode & 077) != 0)
        throw StoreFault(Kind::permissions, fmt::format("{}: lets others in; right would be mode 0600 (chmod 0600 {})",
                                                        file_.string(), file_.string()));
    if (status.st_uid != ::geteuid() && ::geteuid() != 0)
        throw StoreFault(Kind::permissions, file_.string() + ": belongs to somebody else; run it as the owner of the data folder");
    return parse(whole(in.number(), file_), file_);
}

void TokenBook::write(const Page& page) const {
    std::string text = std::string(first_line) + "\nnext\t" + std::to_string(page.next) + "\n";
    for (const auto& token : page.tokens)
        text += fmt::format("{}\t{}\t{}\t{}\t{}\t{}{}\n", token.calendar ? "calendar" : "token", token.number, token.digest, when(token.made),
                            when(token.until), token.name, token.phone != 0 ? "\t" + std::to_string(token.phone) : "");
    for (const auto& code : page.codes)
        text += fmt::format("code\t{}\t{}\t{}\t{}\n", code.digest, when(code.expires), when(code.until), code.name);
    const fs::path fresh = file_.string() + ".new";
    ::unlink(fresh.c_str());
    {
        const Descriptor out(::open(fresh.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0600));
        if (out.number() < 0) fail(file_, "be written");
        give_to_owner_of(out.number(), file_.parent_path());
        if (::write(out.number(), text.data(), text.size()) != ssize_t(text.size()) || ::fsync(out.number()) != 0) {
            ::unlink(fresh.c_str());
            fail(file_, "be written");
        }
    }
    if (::rename(fresh.c_str(), file_.c_str()) != 0) fail(file_, "be written");
    const Descriptor home(::open(file_.parent_path().c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (home.number() >= 0) (void)::fsync(home.number());
}

std::string TokenBook::offer(const std::string& name, std::optional<Instant> until, Instant now) {
    const Lock lock(file_);
    auto page = read();
    std::erase_if(page.codes, [&](const Code& code) { return code.expires <= now || code.expires > now + 2 * code_lives; });
    if (page.codes.size() >= most_codes) page.codes.erase(page.codes.begin());
    const auto code = new_code();
    page.codes.push_back({.name = name, .expires = now + code_lives, .until = until, .digest = sha256(plain_code(code))});
    write(page);
    return code;
}

std::optional<TokenBook::Claimed> TokenBook::claim(std::string_view code, Instant now) {
    const Lock lock(file_);
    auto page = read();
    const auto digest = sha256(plain_code(code));
    const auto found = std::ranges::find(page.codes, digest, &Code::digest);
    if (found == page.codes.end() || found->expires <= now) return std::nullopt;
    std::erase_if(page.tokens, [&](const Token& token) { return !holds(token, now); });
    if (page.tokens.size() >= most_tokens) return std::nullopt;
    Claimed claimed{.secret = new_secret(), .token = {.number = page.next++, .name = found->name, .made = now, .until = found->until}};
    claimed.token.digest = sha256(claimed.secret);
    page.codes.erase(found);
    page.tokens.push_back(claimed.token);
    write(page);
    return claimed;
}

std::optional<TokenBook::Claimed> TokenBook::calendar(const std::string& name, std::optional<Instant> until, Instant now, int like) {
    const Lock lock(file_);
    auto page = read();
    std::erase_if(page.tokens, [&](const Token& token) { return !holds(token, now); });
    if (page.tokens.size() >= most_tokens) return std::nullopt;
    const auto asks = std::ranges::find(page.tokens, like, &Token::number);
    if (like != 0 && asks == page.tokens.end()) return std::nullopt;
    if (like != 0) until = asks->until;
    Claimed claimed{.secret = new_secret(), .token = {.number = page.next++, .name = name, .made = now, .until = until, .calendar = true, .phone = like}};
    claimed.token.digest = sha256(claimed.secret);
    page.tokens.push_back(claimed.token);
    write(page);
    return claimed;
}

std::optional<Person> TokenBook::person(std::string_view secret, Instant now) {
    if (const auto present = stamp(); present != seen_) {
        known_ = read();
        seen_ = present;
    }
    const auto found = std::ranges::find(known_.tokens, sha256(secret), &Token::digest);
    if (found == known_.tokens.end() || !holds(*found, now)) return std::nullopt;
    // A helper who was let in before names were asked for: entries are theirs all the same, and under no other's name.
    const auto name = found->name.empty() && found->until ? std::string("helper") : found->name;
    return Person{.token = found->number, .name = name, .calendar_only = found->calendar, .until = found->until};
}

std::vector<Token> TokenBook::tokens(Instant now) {
    auto page = read();
    std::erase_if(page.tokens, [&](const Token& token) { return !holds(token, now); });
    return page.tokens;
}

std::vector<int> TokenBook::end(int number, Instant now) {
    const Lock lock(file_);
    auto page = read();
    const auto found = std::ranges::find(page.tokens, number, &Token::number);
    if (found == page.tokens.end() || !holds(*found, now)) return {};
    std::vector<int> gone{number};
    for (const auto& token : page.tokens)
        if (token.phone == number) gone.push_back(token.number);
    std::erase_if(page.tokens, [&](const Token& token) { return token.number == number || token.phone == number; });
    write(page);
    return gone;
}

}  // namespace tubgrove
