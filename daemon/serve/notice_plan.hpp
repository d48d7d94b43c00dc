#pragma once
// How an issued list is told through the channels of the configuration: to whom, when, as what, and what an answer means. Plain
// functions without clock or socket.
#include "intake/configuration.hpp"
#include "plan/round.hpp"
#include "serve/errands.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

// One mail, post or message that a list becomes. A mail to several people is one a person, so that a full box of one keeps
// nobody else waiting, and nobody sees the others' addresses.
struct Addressee {
    std::string key;         // the same in every run: the channel's name, and the address where there are several
    NoticeChannel channel;   // a mail's `to` has one address
    std::string_view way() const;
};
std::vector<Addressee> addressees(const Notices& notices);

// The id under which a list is told, so that it is told once: of a walk, of which only the first list is told; a topic, which
// shows how things stand, is told each revision too.
std::string told_as(const Addressee& addressee, std::string_view round_id);

// When `now` may be told: now, or the end of the quiet hours.
Instant quiet_until(const Addressee& addressee, const std::optional<QuietHours>& quiet, Instant now, const Zone& zone);

struct Told {
    const Round& round;
    std::string_view json;     // as every face shows it
    std::string_view link;     // where the page is; empty: none
};
// The courier's errand. `id` is what told_as gave: the same for each try.
Sent telling_errand(const Addressee& addressee, const Told& told, std::string_view id);

struct TellingVerdict {
    enum class Came : unsigned char { told, unsure, failed };
    Came came = Came::failed;
    std::string why = {};      // of a failure, or why it is unsure
    bool hopeless = false;     // the other end will not change its mind soon
};
TellingVerdict judge_telling(const Brought& brought);

// From a minute on twice as long each time, up to half an hour, a quarter more or less: a morning's list is of use in the morning.
std::chrono::milliseconds next_telling(std::string_view key, int tries, const std::optional<std::chrono::seconds>& retry_after);

}  // namespace tubgrove
