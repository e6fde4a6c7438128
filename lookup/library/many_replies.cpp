#include "lookup/library/many_replies.hpp"

#include <algorithm>
#include <utility>

#include "schema/base/ordered_pipeline.hpp"

namespace thirstline {

namespace {

// About a millisecond of work: long compared to the overhead, and little memory.
constexpr std::size_t kQuestionsInChunk = 256;

struct Chunk {
    std::size_t first = 0;
    std::size_t end = 0;
};

using Answers = std::vector<Result<Reply>>;

/// Up to the first error, which is the last element.
Answers answers_of(Database& database, Chunk chunk,
                   const std::function<SiteQuestion(std::size_t)>& question_at) {
    Answers answers;
    answers.reserve(chunk.end - chunk.first);
    for (std::size_t i = chunk.first; i < chunk.end; ++i) {
        answers.push_back(site_answer(database, question_at(i)));
        if (!answers.back()) break;
    }
    return answers;
}

Result<void> take_all(const Answers& answers, std::size_t first,
                      const std::function<Result<void>(std::size_t, const Reply&)>& take) {
    for (std::size_t i = 0; i < answers.size(); ++i) {
        if (!answers[i]) return fail(answers[i].error());
        TRY(take(first + i, *answers[i]));
    }
    return {};
}

}  // namespace

Result<void> answer_many(const std::vector<Database*>& databases, std::size_t count,
                         const std::function<SiteQuestion(std::size_t)>& question_at,
                         const std::function<Result<void>(std::size_t, const Reply&)>& take) {
    const auto chunk_at = [count](std::size_t number) {
        const std::size_t first = number * kQuestionsInChunk;
        return Chunk{first, std::min(first + kQuestionsInChunk, count)};
    };
    const std::size_t chunks = (count + kQuestionsInChunk - 1) / kQuestionsInChunk;
    if (databases.size() < 2 || chunks < 2) {
        for (std::size_t number = 0; number < chunks; ++number) {
            const Chunk chunk = chunk_at(number);
            const Answers answers = answers_of(*databases.front(), chunk, question_at);
            TRY(take_all(answers, chunk.first, take));
        }
        return {};
    }
    std::size_t first = 0;
    // A database is free once the answers of its last chunk have been taken.
    OrderedPipeline<Answers> pipeline(static_cast<int>(std::min(databases.size(), chunks)),
                                      databases.size(), [&](const Answers& answers) {
                                          const std::size_t number = first;
                                          first += answers.size();
                                          return take_all(answers, number, take);
                                      });
    for (std::size_t number = 0; number < chunks; ++number) {
        TRY(pipeline.add([&database = *databases[number % databases.size()],
                          chunk = chunk_at(number),
                          &question_at] { return answers_of(database, chunk, question_at); }));
    }
    return pipeline.finish();
}

}  // namespace thirstline
