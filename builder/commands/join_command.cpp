#include "builder/commands/join_command.hpp"

#include <CLI/App.hpp>

#include "builder/commands/output_paths.hpp"
#include "builder/join/join.hpp"
#include "builder/progress/interruption.hpp"

namespace thirstline {

void JoinCommand::declare(CLI::App& app) {
    app.add_option("databases", databases_,
                   "databases to join; the order matters only for lattices of equal spacing")
        ->type_name("DB")
        ->required();
    app.add_option("-o,--output", output_, "database to write")
        ->type_name("OUT.sqlite")
        ->required()
        ->group("Output");
    app.add_flag("--overwrite", options_.overwrite, "replace an existing file")->group("Output");
    app.add_flag("--partial", options_.partial,
                 "join parts that are not all of their baseline; the file states what it lacks")
        ->group("Output");
    signing_.declare(app);
    app.footer(
        "Parts made by build --part or --tile-rows, and subsets made by export, are joined into "
        "the\n"
        "whole. Parts that lack rows are refused without --partial.\n"
        "Other baselines are layered: the lattice with the smaller spacing answers first; of two\n"
        "with the same spacing, that of the file named later. If files contradict each other,\n"
        "nothing is written.\n\n" +
        help_footer({"thirstline-builder join south.sqlite north.sqlite -o whole.sqlite",
                     "thirstline-builder join world.sqlite merrow.sqlite -o both.sqlite"}));
}

Result<Outcome> JoinCommand::run(const Environment& /*environment*/, TextSink& /*out*/) {
    TRY(refuse_existing(output_, options_.overwrite));
    for (const std::string& database : databases_) TRY(refuse_same_file(output_, database));
    const auto signing_key = TRY(key_for_output(signing_, output_, options_.overwrite));
    TRY(run_join(databases_, output_, options_, watch_for_interruption()));
    TRY(sign_if_asked(signing_key, output_));
    return Outcome::done;
}

}  // namespace thirstline
