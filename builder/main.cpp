// thirstline-builder: from open climate normals to a compact file.
#include "builder/commands/builder_program.hpp"

int main(int argc, char** argv) {
    return thirstline::with_builder_commands(thirstline::program_status, argc, argv);
}
