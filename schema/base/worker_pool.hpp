// A few threads that run tasks in the order in which they were submitted.
//
// Thread safety: `run` may be called from any thread.
#pragma once

#include <algorithm>
#include <condition_variable>
#include <functional>
#include <future>
#include <mutex>
#include <queue>
#include <thread>
#include <vector>

namespace thirstline {

inline constexpr int kMaxJobs = 256;

/// The number of cores of the machine; 1 if it is unknown.
[[nodiscard]] inline int all_cores() {
    return std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
}

class WorkerPool {
  public:
    explicit WorkerPool(int threads) {
        for (int i = 0; i < threads; ++i)
            threads_.emplace_back([this](const std::stop_token& stop) { work(stop); });
    }
    /// Waits for running tasks; waiting tasks are dropped.
    ~WorkerPool() {
        for (std::jthread& thread : threads_) thread.request_stop();
        wake_.notify_all();
    }
    WorkerPool(const WorkerPool&) = delete;
    WorkerPool& operator=(const WorkerPool&) = delete;

    template <class Task>
    [[nodiscard]] auto run(Task task) -> std::future<decltype(task())> {
        auto packaged = std::make_shared<std::packaged_task<decltype(task())()>>(std::move(task));
        auto result = packaged->get_future();
        {
            const std::lock_guard lock(mutex_);
            tasks_.emplace([packaged] { (*packaged)(); });
        }
        wake_.notify_one();
        return result;
    }

  private:
    void work(const std::stop_token& stop) {
        while (true) {
            std::function<void()> task;
            {
                std::unique_lock lock(mutex_);
                wake_.wait(lock, stop, [this] { return !tasks_.empty(); });
                if (stop.stop_requested()) return;
                task = std::move(tasks_.front());
                tasks_.pop();
            }
            task();
        }
    }

    std::mutex mutex_;
    std::condition_variable_any wake_;
    std::queue<std::function<void()>> tasks_;
    std::vector<std::jthread> threads_;
};

}  // namespace thirstline
