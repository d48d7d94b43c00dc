#pragma once
// The store: one SQLite file that several processes may hold open at once. It keeps what was told (entries, readings,
// issued rounds and the documents they rest on) and deletes none of it; it computes nothing and never asks the time.
// A Store belongs to one thread. Whatever a writing function has returned from survives a power cut.
#include "daybook.hpp"
#include "weather.hpp"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

// The machine failed us, or the file is not one that we may touch: exit status 3. what() says where, what and what
// would be right, in words for a person; nothing was half written.
class StoreFault : public std::runtime_error {
public:
    enum class Kind : unsigned char {
        permissions,  // wrong mode, owner or group, or no right to open
        newer,        // written by a newer program
        not_a_store,  // garbage, empty, or a file of something else
        corrupt,      // torn or damaged
        full,         // no room on the disk
        read_only,    // disk or file cannot be written
        busy,         // another process held the file for longer than the busy timeout
        disk,         // any other fault of disk or database
    };
    StoreFault(Kind kind, const std::string& words) : std::runtime_error(words), kind_(kind) {}
    Kind kind() const { return kind_; }

private:
    Kind kind_;
};

// The caller asked for something that the store's rules forbid: a refusal (exit status 2), nothing was written.
class StoreRefusal : public std::runtime_error {
public:
    explicit StoreRefusal(const std::string& words, const std::string& right = {})
        : std::runtime_error(right.empty() ? words : words + "; " + right), words_(words), right_(right) {}
    const std::string& words() const { return words_; }
    const std::string& right() const { return right_; }   // what would be right

private:
    std::string words_, right_;
};

// A write said that it was learned before the newest row: it would rewrite what was already known at that time.
class LearnedBehind : public StoreRefusal {
public:
    LearnedBehind(const std::string& words, Instant newest) : StoreRefusal(words), newest_(newest) {}
    Instant newest() const { return newest_; }

private:
    Instant newest_;
};

// What to do with a write whose `learned` is before the newest one. A simulated clock (`--at`) is refused with
// LearnedBehind; a real one may lag (two processes, a board that woke with an old clock) and must lose nothing, so
// its rows are kept with the newest `learned` instead.
enum class Behind : unsigned char { refuse, lift };

struct EntryFilter {
    std::optional<std::string> pot = {};        // "" finds the entries about the whole garden
    std::optional<Instant> from = {}, to = {};  // from <= when < to
    std::optional<Instant> learned_until = {};  // learned <= learned_until
};

struct IngestCounts {
    long fresh = 0;    // intervals that the series did not have
    long same = 0;     // nothing new in them; nothing was written
    long changed = 0;  // a new version was written; the earlier ones stay
    long empty = 0;    // no value in them; nothing was written
};

enum class Forecasts : unsigned char {
    none,
    newest,  // of each source, every member of the newest issue
    standing,  // the newest issue, and what older ones issued from `issued_from` on say of times after `issued_until` of which
               // no newer one of their source tells a temperature
    all,
    daily,   // of each source the first issue of each day (UTC), its first member
};

struct ReadingsQuery {
    Instant from{}, to{};                       // observations whose interval overlaps [from, to)
    std::optional<Instant> learned_until = {};  // empty: hindsight, the newest version whenever it was learned
    std::optional<Instant> issued_until = {};   // forecasts issued later are left out
    std::optional<Instant> issued_from = {};    // forecasts issued earlier are left out
    Forecasts forecasts = Forecasts::newest;
};

// One series with its observations by end, then by length; the newest version of each. Where one source changed its
// rung or anemometer height, each observation comes with the setting under which it was delivered, so one source may
// give several of these; they never hold the same interval twice.
struct StoredReadings {
    Series series;
    std::vector<Observation> observations;
};

struct ReadingVersion {
    Series series;
    Observation observation;
    Instant learned{};
};

// Whose name a reading came under.
struct Teller {
    Instant starts{}, ends{};                    // of the reading
    std::string by;
};

// How far entries and readings had come: everything with higher numbers arrived later, also within the same second.
struct InputMark {
    std::int64_t entry = 0;
    std::int64_t delivery = 0;
    friend bool operator==(const InputMark&, const InputMark&) = default;
};

struct IssuedRound {
    std::string id = {};  // 2026-07-14-morning, a revision .2
    LocalDay day = {};
    std::string walk = {};
    Instant issued = {};
    Instant learned = {};
    Instant inputs_until = {};
    InputMark inputs = {};                        // what it was worked out from
    std::string model = {};
    std::string configuration = {};  // digest of the document; put_round fills it
    std::string tables = {};         // likewise
    std::string json = {};           // the round as the faces show it
};

struct RoundDocuments {
    std::string_view configuration;
    std::string_view tables;
};

struct CachedState {
    std::string pot;
    std::string key;  // names everything that the state was computed from
    std::string bytes;
};

// What was answered to a write that came with a key of its own.
struct KeptAnswer {
    std::string request = {};  // digest of all that was asked, so that a key used for something else is noticed
    int status = 0;
    std::string body = {};
};

// What becomes of telling an issued list through one channel (a mail, a webhook, a topic).
enum class TellingState : unsigned char {
    waiting,   // for its turn, its hour, or the next try
    going,     // handed over, and nothing heard yet
    told,
    unsure,    // handed over, and it will never be known whether it arrived; it is not sent again
    given_up,  // its day was over first
};

struct Telling {
    std::string channel = {};
    std::string round = {};   // an issued round's id
    TellingState state = TellingState::waiting;
    int tries = 0;
    Instant changed = {};
    std::string error = {};   // of the last try
};

struct TellingEnd {
    TellingState state = TellingState::told;
    Instant at = {};
    std::string error = {};
};

// SHA-256 in lower-case hexadecimal, as sha256sum prints it. Source: [FIPS180-4].
std::string sha256(std::string_view bytes);

class Store {
public:
    // Opens the store of a data directory, and makes directory and store when they do not exist. An older store is
    // migrated after a copy was put beside it. Throws StoreFault.
    static Store open(const std::filesystem::path& directory);
    // Whether there is anything of a garden in that folder; in what state it is, and whether it is a folder, only opening tells.
    static bool lies_in(const std::filesystem::path& directory);
    Store(Store&&) noexcept;
    Store& operator=(Store&&) noexcept;
    ~Store();

    const std::filesystem::path& file() const;

    // Throws StoreFault where a write would be refused before it began: the file is no longer the one that was opened, its disk is
    // full or cannot be written, or its rights have changed. Nothing is written.
    void require_writable() const;

    // Every function below throws StoreFault; those that write throw StoreRefusal and write all or nothing.

    // Appends in the order given and returns the ids, which rise with arrival; ids in the arguments are ignored.
    // Refused: an empty or unknown action's word is the caller's to check, but `strikes` must name an entry that
    // exists.
    std::int64_t append(const Entry& entry, Behind behind = Behind::refuse);
    std::vector<std::int64_t> append_all(std::span<const Entry> entries, Behind behind = Behind::refuse);
    std::vector<Entry> entries(const EntryFilter& filter = {}) const;  // in order of arrival
    std::optional<Entry> entry(std::int64_t id) const;

    // The newest `learned` of entries, readings and issued rounds, among those learned until then (all, when empty); empty when there is none.
    std::optional<Instant> newest_learned(std::optional<Instant> learned_until = {}) const;
    // The newest entry and the newest batch of readings, among those learned until then (all, when empty).
    InputMark input_mark(std::optional<Instant> learned_until = {}) const;

    // Takes a batch of one series in one transaction. NaN means "not reported" and leaves what an earlier version
    // said; a batch with nothing new writes nothing. Batches of 10,000 to 20,000 observations keep other writers
    // waiting for less than a tenth of a second. Refused: an infinite value, an interval that is empty or longer than
    // 32 days. `by`: who sent it; empty: nobody said.
    IngestCounts ingest(const Series& series, std::span<const Observation> observations, Instant learned,
                        Behind behind = Behind::refuse, std::string_view by = {});
    std::vector<StoredReadings> readings(const ReadingsQuery& query) const;
    // When the oldest of the readings that are no forecast starts, among those that overlap [from, to).
    std::optional<Instant> first_reading(Instant from, Instant to, std::optional<Instant> learned_until = {}) const;
    // Who sent readings under a name, of those that are no forecast and overlap [from, to): by series, then by interval, each version's.
    std::vector<Teller> tellers(Instant from, Instant to, std::optional<Instant> learned_until = {}) const;
    // Every version of every observation of a source that ends in (from, to], oldest version first.
    std::vector<ReadingVersion> versions(std::string_view source, Instant from, Instant to) const;

    // Keeps an issued round and its documents, each distinct text once. False, and nothing written, when the id
    // exists (another process may have issued it first: read it).
    [[nodiscard]] bool put_round(const IssuedRound& round, const RoundDocuments& documents,
                                 Behind behind = Behind::refuse);
    std::optional<IssuedRound> round(std::string_view id) const;
    // The latest issued of a walk among those learned until then (all, when empty).
    std::optional<IssuedRound> latest_round(LocalDay day, std::string_view walk,
                                            std::optional<Instant> learned_until = {}) const;
    // Rounds of from <= day < to in order of issue, without their JSON.
    std::vector<IssuedRound> rounds(LocalDay from, LocalDay to, std::optional<Instant> learned_until = {}) const;
    std::optional<std::string> document(std::string_view digest) const;

    // Does the work once for a key, however often and from however many processes it is asked for. What the work writes
    // through this store and the answer that it returns are one transaction: both survive, or neither. Work that returns
    // nothing is taken back. Gives the answer, the kept one when the key is known; the newest 20,000 keys
    // are remembered.
    std::optional<KeptAnswer> answer_once(std::string_view key, const std::function<std::optional<KeptAnswer>()>& work);

    // The queue of lists to be told. Each is told at most once a channel, whatever happens: it is marked as under way before
    // it is handed over, and what was under way when a program died is not sent again.
    // Puts a list into the queue of each channel that does not have it yet; how many that were. The newest 5,000 are remembered.
    int tell_later(std::span<const std::string> channels, std::string_view round, Instant now);
    std::vector<Telling> tellings(TellingState state) const;  // oldest first
    // From waiting to under way. False when it does not wait: it must not be sent.
    [[nodiscard]] bool telling_begins(std::string_view channel, std::string_view round, Instant now);
    void telling_ends(std::string_view channel, std::string_view round, const TellingEnd& end);
    // At the start of a program: what an earlier one left under way becomes unsure. Gives those.
    std::vector<Telling> tellings_cut_off(Instant now);

    // What the work writes through this store is one transaction: all of it, or nothing when it throws.
    void together(const std::function<void()>& work);

    // A cache in a file of its own, which may be deleted at any time: a miss, a damaged file or a full disk is never
    // an error. Of each pot the four states put last are kept.
    void cache_put(std::span<const CachedState> states) noexcept;
    std::optional<std::string> cache_get(std::string_view pot, std::string_view key) const noexcept;

    // Changes whenever any process, this one included, has written; for noticing that another one did.
    std::int64_t data_version() const;
    // Grows with each list and each revision of one; 0 before the first.
    std::int64_t newest_round() const;

    // Writes a copy of the living store to a file that must not exist yet, and checks it. Throws StoreRefusal when it
    // exists.
    void backup(const std::filesystem::path& to) const;
    // Replaces a directory's store by a backup, while other processes may have it open. The present store is kept
    // beside it, also when it is damaged; returns where (empty when there was none).
    static std::filesystem::path restore(const std::filesystem::path& directory, const std::filesystem::path& from);

private:
    struct Inside;
    explicit Store(std::unique_ptr<Inside> inside);
    std::unique_ptr<Inside> inside_;
};

}  // namespace tubgrove
