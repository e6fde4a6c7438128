#include "builder/progress/interruption.hpp"

#include <csignal>

namespace thirstline {

namespace {

// A signal handler can reach nothing but what lives as long as the process.
std::atomic<bool> interrupted{false};
static_assert(std::atomic<bool>::is_always_lock_free, "a signal handler may not wait for a lock");

void note_interruption(int) {
    interrupted.store(true);
}

}  // namespace

const std::atomic<bool>& watch_for_interruption() {
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
        struct sigaction action = {};
        action.sa_handler = note_interruption;
        sigemptyset(&action.sa_mask);
        action.sa_flags = SA_RESTART;
        sigaction(signal, &action, nullptr);
    }
    std::signal(SIGXFSZ, SIG_IGN);
    return interrupted;
}

}  // namespace thirstline
