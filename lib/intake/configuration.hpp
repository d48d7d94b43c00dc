#pragma once
// What the configuration file says, as values; defaults stand here and nowhere else.
#include "calendar.hpp"
#include "units.hpp"
#include "weather.hpp"

#include <array>
#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

struct Site {
    std::string name;
    Degrees latitude{0}, longitude{0};
    Metres elevation{0};
    std::string timezone = "UTC";
    Metres wind_height{2};              // of the site's own anemometer unless a source says otherwise
    bool arid = false;                  // dew point is taken 2 K under the minimum when no humidity is known
    bool coastal = false;               // Hargreaves radiation coefficient 0.19 instead of 0.16
};

struct Bay {
    std::string id;
    std::string light = "full";         // full, half, shade, or a share such as "60 %"
    std::string shelter = "usual";      // open, usual, sheltered, or a share
    std::string rain = "open";          // open, eaves, roof, or a share
    std::string place = "ground";       // ground, balcony, roof, indoors
    std::string ground = "paving";      // what the pots stand on: paving, grass, gravel, soil, decking
    int order = 0;                      // in the walk
};

// In the order of std::chrono::weekday::c_encoding.
inline constexpr std::array<std::string_view, 7> weekday_words{"sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"};

struct Walks {
    std::chrono::minutes morning{7 * 60};
    std::optional<std::chrono::minutes> evening{19 * 60};
    std::chrono::minutes issue_before{60};
    bool evening_on_hot_days = true;    // whether an evening round is offered at all
    std::chrono::weekday care = std::chrono::Saturday;   // when care that can wait stands on the morning's list
};

struct Tap {
    std::string id;
    std::vector<std::string> near;      // bays
    std::optional<Litres> holds;        // of a butt or tank when full; empty: water enough
};

struct Carry {
    Litres can{5};
    int cans = 2;                       // carried at once
    Litres mark{0.5};                   // the can's smallest mark
    int passes = 2;
    std::vector<Tap> taps;
};

enum class Caution : unsigned char { low, usual, high };

// How a foreign file's column or JSON pointer becomes a channel.
struct Column {
    std::string from;                   // header cell, 1-based column number, or JSON pointer
    Channel channel{};
    std::string unit;                   // UDUNITS
    bool counter = false;               // a running total; the interval's value is the difference
    bool following = false;             // of the interval that the row's time begins, beside values of the one that it ends
    bool needed = false;                // a row without it is passed over
};

// How weather is fetched over the network. Secrets lie in files that only their owner may read.
struct WeatherFetch {
    std::string url;                    // may hold {latitude} {longitude} {elevation} {day} {day+1} {day-1}
    std::chrono::seconds every{3600};
    std::vector<std::string> headers;   // "Name: value"
    std::string contact;                // how the service can reach who asks; told in User-Agent
    std::string user, secret_file;      // name and file of the password
    std::string ca_file, proxy;         // a private authority's certificate; empty: those of the machine, and no proxy
    int most_bytes = 8'000'000;         // a longer answer is refused
};

// Where weather is published as messages (MQTT).
struct Broker {
    std::string host;
    int port = 0;                       // 0: 1883, with TLS 8883
    std::string topic;                  // of weather: a filter, + and # allowed
    std::string user, secret_file;
    bool tls = false;
    std::string ca_file;
};

// The port that is given, or the usual one.
inline int broker_port(const Broker& broker) { return broker.port > 0 ? broker.port : broker.tls ? 8883 : 1883; }

struct Mapping {
    std::string name;
    std::string format = "csv";         // csv | json
    std::string time;                   // column or pointer of the time
    std::string time_format;            // "rfc3339", "epoch", "day", or a strftime pattern
    std::string timezone;               // of times without an offset; empty: the site's
    std::string time_is = "end";        // end | start of the interval
    std::chrono::seconds span{3600};    // of a row, for time formats other than day
    std::string rows;                   // JSON: pointer of the array of rows; empty: the document, columns of arrays, or one row
    char separator = ',';
    int skip_lines = 0;
    std::vector<std::string> missing;   // marks such as "-9999", "NA"; an empty cell always is
    std::vector<Column> columns;
    Metres wind_height{2};
    Rung rung = Rung::own_readings;
    std::string issued = {};            // of a forecast: "arrival", "header" or a JSON pointer; empty: readings
    std::string recipe = {};            // the recipe that it began with; empty: none
    std::optional<WeatherFetch> fetch = {};
    std::optional<Broker> broker = {};
};

// Where the service listens, and for whom.
struct Doors {
    std::vector<std::string> listen{"127.0.0.1:8824"};   // addresses with ports
    std::string socket;                 // a socket in the file system, for a proxy in front; empty: none
    std::vector<std::string> names;     // what the service is called beside its addresses
    std::string link;                   // how a phone reaches it, "http://garden.lan:8824"; empty: from the doors
    bool this_machine_open = true;      // who sits at this machine needs no token
};

// A way by which an issued list is told. Secrets lie in files that only their owner may read.
struct NoticeChannel {
    enum class Way : unsigned char { mail, webhook, topic };
    Way way = Way::mail;
    std::string name;
    std::string url;                    // of the mail server or the webhook
    std::string from;                   // of a mail: "Name <address>" or the address
    std::vector<std::string> to;
    std::string user, secret_file;      // name and file of the password; of a webhook the key that signs
    std::string key_id;                 // how the webhook's other end knows the key; empty: not signed
    std::string ca_file, proxy;
    bool tls = true;                    // of mail; false: a server without it is taken
    Broker broker = {};                 // of a topic; its message stays there for whoever comes later
    bool quiet = true;                  // keeps the quiet hours
    bool always = false;                // tells lists that ask for nothing, too
};

struct QuietHours {
    std::chrono::minutes from{}, to{};  // times of day; over midnight where `to` is the earlier one
};

inline constexpr int most_told = 16;    // people and machines that one list is told to

// Days on which nobody means to walk, told of on the morning's list of a weekday before them.
struct DaysOff {
    int told_on = 5;                    // of the week: Sunday 0 … Saturday 6
    int days = 2;                       // from the day after
};

struct Notices {
    std::optional<QuietHours> quiet;
    std::optional<DaysOff> days_off;    // empty: not told
    std::vector<NoticeChannel> channels;
};

struct Configuration {
    Site site;
    std::vector<Bay> bays;
    Walks walks;
    Carry carry;
    Caution caution = Caution::usual;
    std::vector<Mapping> mappings;      // key `weather:`; a source is named by its mapping
    std::string drop_folder;            // weather files that are put here are taken; empty: none
    Doors doors;
    Notices notices;
    std::string tables;                 // folder with the grower's own table rows; empty: none
};

}  // namespace tubgrove
