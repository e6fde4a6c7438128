#include "builder/commands/database_commands.hpp"

#include <CLI/App.hpp>

#include "schema/database.hpp"
#include "schema/database_report.hpp"

namespace thirstline {

void InfoCommand::declare(CLI::App& app) {
    app.add_option("database", database_, "the database")->type_name("DB")->required();
    app.add_option("--format", format_, "text or json; default: text")
        ->type_name("FORM")
        ->group("Answer");
    app.footer(help_footer({"thirstline-builder info merrow.sqlite",
                            "thirstline-builder info merrow.sqlite --format json"}));
}

Result<Outcome> InfoCommand::run(const Environment& /*environment*/, TextSink& out) {
    if (auto checked = check_word("--format", format_, {"text", "json"}); !checked)
        return fail(checked.error());
    const auto database = Database::open(database_);
    if (!database) return fail(database.error());
    const auto text =
        format_ == "json" ? database_info_json(**database) : database_info_text(**database);
    if (!text) return fail(text.error());
    if (auto written = out.write(*text); !written) return fail(written.error());
    return Outcome::done;
}

void VerifyCommand::declare(CLI::App& app) {
    app.add_option("database", database_, "the database")->type_name("DB")->required();
    app.footer(help_footer({"thirstline-builder verify merrow.sqlite"}));
}

Result<Outcome> VerifyCommand::run(const Environment& /*environment*/, TextSink& out) {
    const auto database = Database::open(database_);
    if (!database) return fail(database.error());
    const auto verified = verify_database(**database);
    if (!verified) return fail(verified.error());
    if (auto written = out.write(verified_text(*verified)); !written) return fail(written.error());
    return Outcome::done;
}

}  // namespace thirstline
