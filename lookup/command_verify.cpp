#include "lookup/command_verify.hpp"

#include <CLI/App.hpp>
#include <utility>

#include "schema/database_report.hpp"

namespace thirstline {

void VerifyCommand::declare(CLI::App& app) {
    declare_database_option(app, database_);
    app.footer(help_footer({"thirstline-lookup verify --db merrow.sqlite",
                            "THIRSTLINE_DB=merrow.sqlite thirstline-lookup verify"}));
}

Result<Outcome> VerifyCommand::run(const Environment& environment, TextSink& out) {
    const auto database = open_database(database_, environment);
    if (!database) return fail(database.error());
    const auto verified = verify_database(**database);
    if (!verified) return fail(verified.error());
    if (auto written = out.write(verified_text(*verified)); !written) {
        return fail(std::move(written.error()));
    }
    return Outcome::done;
}

}  // namespace thirstline
