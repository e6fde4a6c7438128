// Collects contradictions for one message: the first few by name, and their number.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

class Conflicts {
  public:
    void add(const std::string& what) {
        ++count_;
        if (named_.size() < kNamed) named_.push_back(what);
    }
    [[nodiscard]] std::int64_t count() const { return count_; }

    /// Errors (bad_input): one sentence, if there is any conflict.
    [[nodiscard]] Result<void> none() const {
        if (count_ == 0) return {};
        std::string list;
        for (const std::string& what : named_) list += (list.empty() ? "" : "; ") + what;
        const std::int64_t more = count_ - static_cast<std::int64_t>(named_.size());
        if (more > 0) list += "; and " + std::to_string(more) + " more";
        return fail(ErrorCode::bad_input, "the files contradict each other: " + list,
                    "join files that were made from the same sources, or leave one of them out");
    }

  private:
    static constexpr std::size_t kNamed = 5;
    std::vector<std::string> named_;
    std::int64_t count_ = 0;
};

}  // namespace thirstline
