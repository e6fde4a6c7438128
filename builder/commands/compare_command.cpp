#include "builder/commands/compare_command.hpp"

#include <CLI/App.hpp>

#include "builder/compare/comparison.hpp"
#include "builder/compare/comparison_output.hpp"
#include "builder/progress/interruption.hpp"
#include "builder/publish/comparison_page.hpp"
#include "schema/command_line/database_commands.hpp"
#include "schema/command_line/option_values.hpp"
#include "schema/text/utf8_text.hpp"

namespace thirstline {

void CompareCommand::declare(CLI::App& app) {
    app.add_option("old", before_, "the older database")->type_name("OLD")->required();
    app.add_option("new", after_, "the newer database")->type_name("NEW")->required();
    add_word_option(app, format_,
                    {"--format",
                     "output format: ",
                     {"text", "json", "html"},
                     "; default: text",
                     "FORMAT",
                     "Output"});
    app.footer(
        "Lists changed texts, recipe, sources, stations and postal codes, and the change of ETo "
        "and\n"
        "rain by month over the points of both, which may have different lattices. The exit "
        "status\n"
        "is 0 if both have the same content, and 1 if not.\n\n" +
        help_footer({"thirstline-builder compare merrow-2025.sqlite merrow-2026.sqlite",
                     "thirstline-builder compare merrow-1961.sqlite merrow-1991.sqlite "
                     "--format html > changes.html"}));
}

Result<Outcome> CompareCommand::run(const Environment& environment, TextSink& out) {
    const auto before = TRY(open_database(before_, environment));
    const auto after = TRY(open_database(after_, environment));
    const auto comparison = TRY(compared(*before, *after, watch_for_interruption()));
    TRY(before->check_unchanged());
    TRY(after->check_unchanged());
    std::string text;
    if (format_ == "html") {
        text = TRY(comparison_page(comparison, *before, *after, watch_for_interruption()));
    } else {
        text = format_ == "json" ? comparison_json(comparison)
                                 : terminal_text(comparison_text(comparison));
    }
    TRY(out.write(text));
    return comparison.is_same ? Outcome::done : Outcome::different;
}

}  // namespace thirstline
