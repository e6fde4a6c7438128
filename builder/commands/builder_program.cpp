#include "builder/commands/builder_program.hpp"

#include <array>

#include "builder/commands/catalogue_commands.hpp"
#include "builder/commands/compare_command.hpp"
#include "builder/commands/evaluate_command.hpp"
#include "builder/commands/export_command.hpp"
#include "builder/commands/fetch_command.hpp"
#include "builder/commands/join_command.hpp"
#include "builder/commands/publish_command.hpp"
#include "builder/commands/recipe_commands.hpp"
#include "schema/command_line/database_commands.hpp"

namespace thirstline {

int with_builder_commands(ProgramEnding ending, int argc, const char* const* argv) {
    const ProgramText text{"thirstline-builder",
                           "Builds a compact database of monthly reference evapotranspiration and "
                           "rain from open climate normals",
                           "thirstline-builder build merrow.toml -o merrow.sqlite",
                           "thirstline-builder build --help", false};
    SourcesCommand sources;
    RecipeCommand recipe;
    FetchCommand fetch_command;
    BuildCommand build;
    CheckCommand check;
    EvaluateCommand evaluate;
    ExportCommand export_command;
    JoinCommand join;
    CompareCommand compare;
    PublishCommand publish;
    InfoCommand info(text.name, DatabaseNaming::argument);
    VerifyCommand verify(text.name, DatabaseNaming::argument);
    const std::array<Command*, 12> commands{&sources, &recipe,   &fetch_command,  &check,
                                            &build,   &evaluate, &export_command, &join,
                                            &compare, &publish,  &info,           &verify};
    return ending(text, commands, argc, argv);
}

}  // namespace thirstline
