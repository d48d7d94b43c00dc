#pragma once
// What SQLiteCpp lacks: a statement whose parameters are all bound, and counted, and whose numbers are finite.
// SQLite would keep a NaN as NULL and leave a forgotten parameter NULL, both without a word.
#include "calendar.hpp"
#include "store/store.hpp"

#include <SQLiteCpp/SQLiteCpp.h>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>

namespace tubgrove::store {

struct Blob {
    std::string_view bytes;
};

class Query {
public:
    Query(const SQLite::Database& database, const char* sql) : statement_(database, sql) {}

    template <class... Values>
    Query& bind(const Values&... values) {
        statement_.reset();
        int at = 0;
        (put(at, values), ...);
        if (at != statement_.getBindParameterCount())
            throw std::logic_error("a statement got " + std::to_string(at) + " parameters: " + statement_.getQuery());
        return *this;
    }
    bool next() { return statement_.executeStep(); }
    void run() { statement_.exec(); }

    bool null(int column) const { return statement_.isColumnNull(column); }
    std::int64_t integer(int column) const { return statement_.getColumn(column).getInt64(); }
    double real(int column) const { return statement_.getColumn(column).getDouble(); }
    double real_or_nan(int column) const {
        return null(column) ? std::numeric_limits<double>::quiet_NaN() : real(column);
    }
    std::string text(int column) const { return statement_.getColumn(column).getString(); }
    Instant instant(int column) const { return Instant(std::chrono::seconds(integer(column))); }
    std::optional<Instant> maybe_instant(int column) const {
        return null(column) ? std::nullopt : std::optional(instant(column));
    }

private:
    void put(int& at, std::int64_t value) { statement_.bind(++at, value); }
    void put(int& at, int value) { statement_.bind(++at, value); }
    void put(int& at, double value) {
        if (!std::isfinite(value)) throw StoreRefusal("a number is not finite, and the store keeps only finite ones");
        statement_.bind(++at, value);
    }
    void put(int& at, const std::string& value) { statement_.bind(++at, value); }
    void put(int& at, std::string_view value) { statement_.bind(++at, std::string(value)); }
    void put(int& at, Blob value) { statement_.bind(++at, value.bytes.data(), static_cast<int>(value.bytes.size())); }
    void put(int& at, Instant value) { statement_.bind(++at, std::int64_t(value.time_since_epoch().count())); }
    template <class Value>
    void put(int& at, const std::optional<Value>& value) {
        if (value)
            put(at, *value);
        else
            statement_.bind(++at);
    }
    // Channels: a NaN is "not reported" and becomes NULL on purpose.
    template <std::size_t N>
    void put(int& at, const std::array<double, N>& values) {
        for (double value : values) {
            if (std::isnan(value))
                statement_.bind(++at);
            else
                put(at, value);
        }
    }
    template <class Value>
    void put(int&, const Value*) = delete;  // a pointer would turn into a bool or a number

    SQLite::Statement statement_;
};

}  // namespace tubgrove::store
