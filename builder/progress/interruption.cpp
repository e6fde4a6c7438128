#include "builder/progress/interruption.hpp"

#include <unistd.h>

#include <csignal>

#include "schema/base/result.hpp"

namespace thirstline {

namespace {

// A signal handler can only use objects that live as long as the process.
std::atomic<bool> interrupted{false};
static_assert(std::atomic<bool>::is_always_lock_free, "a signal handler may not wait for a lock");

// Longer than all work between two checks of the flag, but not than a wait for a server.
constexpr unsigned kSecondsToEnd = 3;

void note_interruption(int) {
    if (!interrupted.exchange(true)) alarm(kSecondsToEnd);
}

void end_now(int) {
    constexpr char kMessage[] = "thirstline-builder: interrupted\n";
    if (write(STDERR_FILENO, kMessage, sizeof kMessage - 1) < 0) {
        // An error cannot be reported here.
    }
    _exit(exit_status(ErrorCode::interrupted));
}

void on_signal(int signal, void (*handler)(int)) {
    struct sigaction action = {};
    action.sa_handler = handler;
    sigemptyset(&action.sa_mask);
    action.sa_flags = SA_RESTART;
    sigaction(signal, &action, nullptr);
}

}  // namespace

const std::atomic<bool>& watch_for_interruption() {
    for (const int signal : {SIGINT, SIGTERM, SIGHUP}) on_signal(signal, note_interruption);
    on_signal(SIGALRM, end_now);
    std::signal(SIGXFSZ, SIG_IGN);
    return interrupted;
}

}  // namespace thirstline
