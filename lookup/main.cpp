// thirstline-lookup: answers from a file, offline.
#include <csignal>
#include <cstdlib>

#include "lookup/commands/lookup_program.hpp"
#include "schema/base/result.hpp"

namespace {

// Nothing that this program writes to is left in pieces: it can leave at once.
void leave_when_interrupted(int) {
    std::_Exit(thirstline::exit_status(thirstline::ErrorCode::interrupted));
}

}  // namespace

int main(int argc, char** argv) {
    std::signal(SIGINT, leave_when_interrupted);
    return thirstline::with_lookup_commands(thirstline::program_status, argc, argv);
}
