#pragma once
// Answers that were given a moment ago. What is read is a function of the store, the configuration and the moment, and a moment is a
// whole second: asked again within it, with nothing written since, it is the same and is not worked out again. So a crowd of
// phones, or one that asks without end, costs the board little.
#include "calendar.hpp"
#include "door/request.hpp"
#include "store/store.hpp"

#include <optional>
#include <string>
#include <vector>

namespace tubgrove {

class KeptAnswers {
public:
    // Looks at the store by a connection of its own, whoever writes to it.
    explicit KeptAnswers(const std::filesystem::path& data) : store_(Store::open(data)) {}

    // What an answer rests on, taken before it is worked out.
    struct Mark {
        std::int64_t version = 0;
        Instant moment{};
        int configuration = 0;
        bool operator==(const Mark&) const = default;
    };
    // Empty where the store cannot be looked at: whoever answers will find out why.
    std::optional<Mark> mark(Instant now) const;

    // The newest of what people and lists have written, whoever wrote it; empty likewise.
    struct Newest {
        std::int64_t entry = 0, round = 0;
        bool operator==(const Newest&) const = default;
    };
    std::optional<Newest> newest() const;

    // Null where it is not there.
    const Response* find(const std::string& asked, const Mark& mark) const;
    // Only good answers of a bearable size; those of another moment make room.
    void keep(const std::string& asked, const Mark& mark, const Response& response);
    // Another configuration holds from here on.
    void forget();

private:
    struct Kept {
        std::string asked;
        Response response;
    };
    Store store_;
    Mark mark_;  // of all that is kept
    std::vector<Kept> kept_;
    int configuration_ = 0;
};

}  // namespace tubgrove
