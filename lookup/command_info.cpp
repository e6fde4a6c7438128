#include "lookup/command_info.hpp"

#include <CLI/App.hpp>
#include <utility>

#include "schema/database_report.hpp"

namespace thirstline {

void InfoCommand::declare(CLI::App& app) {
    app.add_option("--format", format_, "text or json; default: text")
        ->type_name("FORM")
        ->group("Answer");
    declare_database_option(app, database_);
    app.footer(help_footer(
        {"thirstline-lookup info --db merrow.sqlite", "thirstline-lookup info --format json"}));
}

Result<Outcome> InfoCommand::run(const Environment& environment, TextSink& out) {
    if (auto checked = check_word("--format", format_, {"text", "json"}); !checked) {
        return fail(std::move(checked.error()));
    }
    const auto database = open_database(database_, environment);
    if (!database) return fail(database.error());
    const auto text =
        format_ == "json" ? database_info_json(**database) : database_info_text(**database);
    if (!text) return fail(text.error());
    if (auto written = out.write(*text); !written) return fail(std::move(written.error()));
    return Outcome::done;
}

}  // namespace thirstline
