#include "serve/kept_answers.hpp"

#include <algorithm>

namespace tubgrove {
namespace {

constexpr std::size_t most_answers = 8, longest_body = 64 * 1024;

}  // namespace

std::optional<KeptAnswers::Mark> KeptAnswers::mark(Instant now) const try {
    return Mark{.version = store_.data_version(), .moment = now, .configuration = configuration_};
} catch (const StoreFault&) {
    return std::nullopt;
}

std::optional<KeptAnswers::Newest> KeptAnswers::newest() const try {
    return Newest{.entry = store_.input_mark().entry, .round = store_.newest_round()};
} catch (const StoreFault&) {
    return std::nullopt;
}

const Response* KeptAnswers::find(const std::string& asked, const Mark& mark) const {
    if (mark != mark_) return nullptr;
    const auto found = std::ranges::find(kept_, asked, &Kept::asked);
    return found == kept_.end() ? nullptr : &found->response;
}

void KeptAnswers::keep(const std::string& asked, const Mark& mark, const Response& response) {
    if (response.status != 200 || response.body.size() > longest_body) return;
    if (mark != mark_) kept_.clear();
    mark_ = mark;
    if (kept_.size() < most_answers && !find(asked, mark)) kept_.push_back({asked, response});
}

void KeptAnswers::forget() {
    ++configuration_;
    kept_.clear();
}

}  // namespace tubgrove
