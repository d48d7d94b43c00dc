#pragma once
// A small JSON writer: keys in the order they are written, two spaces of indent, decimals fixed by the key's unit suffix,
// so that the same answer is the same bytes on every machine and through every face.
#include <string>
#include <string_view>
#include <vector>

namespace tubgrove {

// Digits after the point for a key: by its unit suffix (_l 2, _mm 1, _degC 1, _kg 2, _kPa 2, …); 0 for a bare count.
int json_decimals(std::string_view key);
// A finite number with fixed decimals; never "-0.00".
std::string fixed_decimals(double value, int decimals);

class JsonWriter {
public:
    void begin_object(std::string_view key = {}) { open(key, '{'); }
    void end_object() { close('}'); }
    void begin_array(std::string_view key = {}) { open(key, '['); }
    void end_array() { close(']'); }

    void text(std::string_view key, std::string_view value);
    void number(std::string_view key, double value);            // NaN and infinities become null
    void number_in(std::string_view key, double value, int decimals);
    void integer(std::string_view key, long long value);
    void boolean(std::string_view key, bool value);
    void null(std::string_view key);
    void raw(std::string_view key, std::string_view json);      // a value that is JSON already

    std::string take() { return std::move(out_) + "\n"; }

private:
    void open(std::string_view key, char bracket);
    void close(char bracket);
    void start(std::string_view key);

    std::string out_;
    std::vector<bool> has_items_;                               // one per open bracket
};

}  // namespace tubgrove
