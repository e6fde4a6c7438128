// thirstline-builder: from open climate normals to a compact file.
#include <array>

#include "builder/commands/database_commands.hpp"
#include "builder/commands/recipe_commands.hpp"
#include "schema/command_line/program.hpp"

int main(int argc, char** argv) {
    using namespace thirstline;
    BuildCommand build;
    CheckCommand check;
    InfoCommand info;
    VerifyCommand verify;
    const std::array<Command*, 4> commands{&check, &build, &info, &verify};
    const ProgramText text{
        "thirstline-builder",
        "Makes a compact file of monthly reference evapotranspiration and rain from open climate "
        "normals",
        {"thirstline-builder check merrow.toml",
         "thirstline-builder build merrow.toml -o merrow.sqlite", "thirstline-builder build --help"}};
    return program_status(text, commands, argc, argv);
}
