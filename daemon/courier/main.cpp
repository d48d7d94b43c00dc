// tubgrove-courier: goes one errand over the network and ends, so that the daemon itself holds no TLS, no name
// look-up and no fetching library. In: one JSON object (errand.hpp). Out: one line of JSON, then the fetched bytes.
// Exit status: 0 the errand was done (the line has the server's status), 1 it was not (the line says why), 2 it was
// no errand.
#include "transfer.hpp"

#include <boost/json.hpp>

#include <sys/stat.h>
#include <chrono>
#include <fstream>
#include <iostream>
#include <iterator>
#include <stdexcept>

using namespace tubgrove::courier;

namespace {

std::string all_of(std::istream& in) { return {std::istreambuf_iterator<char>(in), {}}; }

// The first line of the file. What others may read is no secret.
std::string read_secret(const std::string& name) {
    if (name.empty()) return {};
    struct stat about {};
    if (stat(name.c_str(), &about) != 0) throw std::invalid_argument(name + ": the secret's file cannot be read");
    if ((about.st_mode & (S_IRWXG | S_IRWXO) & ~S_IRGRP) != 0)
        throw std::invalid_argument(name + ": others may read this secret; right would be: chmod 640 or 600");
    std::ifstream in(name);
    std::string secret;
    if (!std::getline(in, secret) || secret.empty())
        throw std::invalid_argument(name + ": no secret stands in the first line");
    return secret;
}

boost::json::object told(const Outcome& outcome) {
    boost::json::object line;
    line["status"] = outcome.status;
    if (!outcome.etag.empty()) line["etag"] = outcome.etag;
    if (!outcome.last_modified.empty()) line["last_modified"] = outcome.last_modified;
    if (outcome.retry_after_s) line["retry_after_s"] = *outcome.retry_after_s;
    if (!outcome.error.empty()) line["error"] = outcome.error;
    if (outcome.unsure) line["unsure"] = true;
    line["bytes"] = outcome.error.empty() ? outcome.body.size() : 0;
    return line;
}

int refused(const std::string& why) {
    std::cout << boost::json::object{{"error", why}, {"bytes", 0}} << '\n';
    return 2;
}

}  // namespace

int main() try {
    using namespace std::chrono;
    const auto errand = read_errand(all_of(std::cin));
    const auto secret = read_secret(way_of(errand).secret_file);
    const auto now_s = duration_cast<seconds>(system_clock::now().time_since_epoch()).count();
    const auto outcome = run_errand(errand, secret, now_s);
    std::cout << told(outcome) << '\n';
    if (outcome.error.empty()) std::cout << outcome.body;
    std::cout.flush();
    return outcome.error.empty() && std::cout ? 0 : 1;
} catch (const std::invalid_argument& complaint) {
    return refused(complaint.what());
} catch (const std::exception& fault) {
    std::cout << boost::json::object{{"error", fault.what()}, {"bytes", 0}} << '\n';
    return 1;
}
