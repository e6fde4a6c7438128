// thirstline-builder: from open climate normals to a compact file.
#include <array>

#include "builder/commands/evaluate_command.hpp"
#include "builder/commands/export_command.hpp"
#include "builder/commands/join_command.hpp"
#include "builder/commands/publish_command.hpp"
#include "builder/commands/recipe_commands.hpp"
#include "schema/command_line/database_commands.hpp"
#include "schema/command_line/program.hpp"

int main(int argc, char** argv) {
    using namespace thirstline;
    BuildCommand build;
    CheckCommand check;
    EvaluateCommand evaluate;
    ExportCommand export_command;
    JoinCommand join;
    PublishCommand publish;
    InfoCommand info("thirstline-builder", DatabaseNaming::argument);
    VerifyCommand verify("thirstline-builder", DatabaseNaming::argument);
    const std::array<Command*, 8> commands{&check, &build,   &evaluate, &export_command,
                                           &join,  &publish, &info,     &verify};
    const ProgramText text{
        "thirstline-builder",
        "Makes a compact file of monthly reference evapotranspiration and rain from open climate "
        "normals",
        "thirstline-builder build merrow.toml -o merrow.sqlite", "thirstline-builder build --help",
        false};
    return program_status(text, commands, argc, argv);
}
