#pragma once
// The check rows of care: each theme file answers its rows by id, and care_rows_test.cpp sees to it that no row is left out
// and that every key of every expectation was compared.
#include "care/frost.hpp"
#include "catch.h"

#include <yaml-cpp/yaml.h>

#include <cmath>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <string_view>

namespace care_rows {

// One row while it is answered. A number may miss the printed one by the row's `tol`, else by half its last digit.
class Row {
public:
    explicit Row(const YAML::Node& row) : row_(row), given(row["given"]), expect_(row["expect"]) {}

    void number(const std::string& key, double computed) { compare(key, take(key), computed); }
    void numbers(const std::string& key, const std::vector<double>& computed) {
        const YAML::Node printed = take(key);
        REQUIRE(printed.size() == computed.size());
        for (std::size_t i = 0; i < computed.size(); ++i) compare(key, printed[i], computed[i]);
    }
    void band(const std::string& key, tubgrove::Band b) { numbers(key, {b.low, b.high}); }
    void text(const std::string& key, std::string_view computed) { CHECK(take(key).as<std::string>() == computed); }
    void yes(const std::string& key, bool computed) { CHECK(take(key).as<bool>() == computed); }
    void none(const std::string& key, bool computed_none) {
        CHECK(take(key).IsNull());
        CHECK(computed_none);
    }
    // What a sentence of ours has to speak of, where the row says it in words of its own.
    void told(const std::string& key, std::string_view sentence, std::string_view word) {
        take(key);
        INFO(sentence << " should speak of " << word);
        CHECK(sentence.find(word) != sentence.npos);
    }
    // A fact that is kept as it is printed; the value is compared as text.
    template <class Value>
    Value printed(const std::string& key) { return take(key).as<Value>(); }

    void finish() const {
        for (const auto& item : expect_) {
            INFO(id() << ": nothing was compared with " << item.first.as<std::string>());
            CHECK(taken_.contains(item.first.as<std::string>()));
        }
    }
    std::string id() const { return row_["id"].as<std::string>(); }
    double g(const char* key) const { return given[key].as<double>(); }
    std::string s(const char* key) const { return given[key].as<std::string>(); }

private:
    YAML::Node take(const std::string& key) {
        taken_.insert(key);
        INFO(id() << " expects no " << key);
        REQUIRE(expect_[key].IsDefined());
        return expect_[key];
    }
    void compare(const std::string& key, const YAML::Node& printed, double computed) const {
        INFO(id() << ": " << key << " printed " << printed.Scalar() << ", computed " << computed);
        CHECK(std::fabs(computed - printed.as<double>()) <= tolerance(key, printed.Scalar()) * (1 + 1e-9));
    }
    double tolerance(const std::string& key, const std::string& printed) const {
        const YAML::Node tol = row_["tol"];
        if (tol.IsDefined() && tol.IsScalar()) return tol.as<double>();
        if (tol.IsDefined() && tol[key].IsDefined()) return tol[key].as<double>();
        const auto point = printed.find('.');
        return 0.5 * std::pow(10.0, point == printed.npos ? 0.0 : -double(printed.size() - point - 1));
    }
    const YAML::Node row_;

public:
    const YAML::Node given;

private:
    const YAML::Node expect_;
    std::set<std::string> taken_;
};

using Answer = std::function<void(Row&)>;
std::map<std::string, Answer>& answers();

struct Theme {
    Theme(std::initializer_list<std::pair<const char*, Answer>> rows) {
        for (const auto& [id, answer] : rows) {
            const bool fresh = answers().emplace(id, answer).second;
            if (!fresh) throw std::logic_error(std::string("row answered twice: ") + id);
        }
    }
};

YAML::Node table(const std::string& name);

}  // namespace care_rows
