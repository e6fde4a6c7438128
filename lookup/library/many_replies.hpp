// Many questions put to one file by several threads.
//
// Thread safety: the databases belong to this call until it returns.
#pragma once

#include <cstddef>
#include <functional>
#include <vector>

#include "lookup/library/reply.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// Puts the questions `question_at(0 … count − 1)` to the databases, each in a thread of its own (a
/// single one in the calling thread). `take(i, answer)` is called by the calling thread, in order.
/// Memory is bounded by a chunk of answers for each thread.
/// Errors: those of site_answer and of `take`; of several, that of the first question.
[[nodiscard]] Result<void> answer_many(
    const std::vector<Database*>& databases, std::size_t count,
    const std::function<SiteQuestion(std::size_t)>& question_at,
    const std::function<Result<void>(std::size_t, const Reply&)>& take);

}  // namespace thirstline
