// Interruption by Ctrl-C and similar signals, as a flag that long work checks.
//
// Thread safety: the flag may be read from any thread.
#pragma once

#include <atomic>

namespace thirstline {

/// After this call SIGINT, SIGTERM and SIGHUP set the flag and do not end the process at once. If
/// it has not ended three seconds later (it may wait for a server), it ends with the status for an
/// interruption, and its output remains as a *.partial-* file that the next run removes. A file
/// size limit (SIGXFSZ) becomes a write error.
[[nodiscard]] const std::atomic<bool>& watch_for_interruption();

}  // namespace thirstline
