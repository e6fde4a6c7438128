// thirstline-lookup: answers from a file, offline.
#include <unistd.h>

#include <csignal>

#include "lookup/commands/lookup_program.hpp"
#include "schema/base/result.hpp"

namespace {

// Nothing that this program writes to is left in pieces: it can leave at once.
void leave_when_interrupted(int) {
    _exit(thirstline::exit_status(thirstline::ErrorCode::interrupted));
}

}  // namespace

int main(int argc, char** argv) {
    std::signal(SIGINT, leave_when_interrupted);
    return thirstline::with_lookup_commands(thirstline::program_status, argc, argv);
}
