// Runs tasks on several threads. The thread that adds the tasks takes their outcomes one by one, in
// the order in which it added them. So results do not depend on the number of threads, and memory
// is bounded by the number of pending tasks.
#pragma once

#include <cstddef>
#include <deque>
#include <functional>
#include <future>
#include <utility>

#include "schema/base/result.hpp"
#include "schema/base/worker_pool.hpp"

namespace thirstline {

template <class Outcome>
class OrderedPipeline {
  public:
    /// At most `max_pending` tasks (1 or more) are running, waiting, or finished but not yet taken.
    OrderedPipeline(int threads, std::size_t max_pending, std::function<Result<void>(Outcome)> take)
        : max_pending_(max_pending), take_(std::move(take)), pool_(threads) {}

    /// Takes the first outcome if there is no room for another task; whatever that task used is
    /// then free again. Errors: those of `take`.
    Result<void> wait_for_room() {
        return pending_.size() < max_pending_ ? Result<void>() : take_first();
    }

    /// Errors: those of `take` for an earlier task.
    template <class Task>
    Result<void> add(Task task) {
        TRY(wait_for_room());
        pending_.push_back(pool_.run(std::move(task)));
        return {};
    }

    /// Takes all remaining outcomes. Errors: those of `take`, after which no more are taken.
    Result<void> finish() {
        while (!pending_.empty()) TRY(take_first());
        return {};
    }

  private:
    Result<void> take_first() {
        Outcome outcome = pending_.front().get();
        pending_.pop_front();
        return take_(std::move(outcome));
    }

    std::size_t max_pending_;
    std::function<Result<void>(Outcome)> take_;
    std::deque<std::future<Outcome>> pending_;
    WorkerPool pool_;  ///< last: its threads end before the members they use
};

}  // namespace thirstline
