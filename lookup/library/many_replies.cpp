#include "lookup/library/many_replies.hpp"

#include <algorithm>
#include <deque>
#include <future>
#include <utility>

#include "schema/base/worker_pool.hpp"

namespace thirstline {

namespace {

// A millisecond of work: long against handing it over, little memory.
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
    WorkerPool pool(static_cast<int>(std::min(databases.size(), chunks)));
    std::deque<std::future<Answers>> under_way;
    std::size_t given = 0;
    for (std::size_t taken_chunks = 0; taken_chunks < chunks; ++taken_chunks) {
        // A database is free when the answers of its last chunk were taken.
        while (given < chunks && given - taken_chunks < databases.size()) {
            under_way.push_back(
                pool.run([&database = *databases[given % databases.size()], chunk = chunk_at(given),
                          &question_at] { return answers_of(database, chunk, question_at); }));
            ++given;
        }
        const Answers answers = under_way.front().get();
        under_way.pop_front();
        TRY(take_all(answers, chunk_at(taken_chunks).first, take));
    }
    return {};
}

}  // namespace thirstline
