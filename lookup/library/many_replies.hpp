// Answers many questions from one file with several threads.
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

/// Answers the questions `question_at(0 … count − 1)` from the databases, each in its own thread
/// (with a single database, in the calling thread). The calling thread calls `take(i, answer)`, in
/// order. Memory is bounded by a chunk of answers per thread.
/// Errors: those of site_answer and of `take`; if several, that of the first question.
[[nodiscard]] Result<void> answer_many(
    const std::vector<Database*>& databases, std::size_t count,
    const std::function<SiteQuestion(std::size_t)>& question_at,
    const std::function<Result<void>(std::size_t, const Reply&)>& take);

}  // namespace thirstline
