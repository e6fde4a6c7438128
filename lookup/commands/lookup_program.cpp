#include "lookup/commands/lookup_program.hpp"

#include <array>

#include "lookup/commands/command_batch.hpp"
#include "lookup/commands/command_demand.hpp"
#include "lookup/commands/command_near.hpp"
#include "lookup/commands/command_site.hpp"
#include "schema/command_line/database_commands.hpp"
#include "schema/command_line/program.hpp"

namespace thirstline {

namespace {

constexpr ProgramText kText{
    "thirstline-lookup",
    "Answers from a Thirstline database, offline: monthly reference evapotranspiration and rain",
    "thirstline-lookup site --db merrow.sqlite --postal 04107", "thirstline-lookup site --help",
    true};

struct LookupCommands {
    SiteCommand site;
    DemandCommand demand;
    BatchCommand batch;
    NearCommand near;
    InfoCommand info{kText.name, DatabaseNaming::option};
    VerifyCommand verify{kText.name, DatabaseNaming::option};
    std::array<Command*, 6> all{&site, &demand, &batch, &near, &info, &verify};
};

}  // namespace

Result<int> run_lookup(int argc, const char* const* argv, const Environment& environment,
                       TextSink& out) {
    LookupCommands commands;
    return run_program(kText, commands.all, argc, argv, environment, out);
}

int with_lookup_commands(ProgramEnding ending, int argc, const char* const* argv) {
    LookupCommands commands;
    return ending(kText, commands.all, argc, argv);
}

}  // namespace thirstline
