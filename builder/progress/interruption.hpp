// Ctrl-C and its like, as a flag that long work looks at.
//
// Thread safety: the flag may be read from any thread.
#pragma once

#include <atomic>

namespace thirstline {

/// From now on SIGINT, SIGTERM and SIGHUP raise the flag instead of ending the process; if it has
/// not ended three seconds later (it may wait for a server), it ends with the status for an
/// interruption, and what it was writing stays as a *.partial-* file that the next run removes. A
/// file size limit (SIGXFSZ) becomes an error of writing.
[[nodiscard]] const std::atomic<bool>& watch_for_interruption();

}  // namespace thirstline
