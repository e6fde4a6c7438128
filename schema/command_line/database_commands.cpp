#include "schema/command_line/database_commands.hpp"

#include <CLI/App.hpp>

#include "schema/command_line/option_values.hpp"
#include "schema/database/database_report.hpp"
#include "schema/database/history.hpp"
#include "schema/signature/file_signature.hpp"
#include "schema/text/utf8_text.hpp"

namespace thirstline {

namespace {

void declare_database(CLI::App& app, DatabaseNaming naming, std::string& database) {
    if (naming == DatabaseNaming::option) {
        declare_database_option(app, database);
    } else {
        app.add_option("database", database, "the database")->type_name("DB")->required();
    }
}

/// "thirstline-lookup info --db merrow.sqlite", or without "--db".
std::string example(const std::string& program, const std::string& command, DatabaseNaming naming) {
    return program + " " + command +
           (naming == DatabaseNaming::option ? " --db merrow.sqlite" : " merrow.sqlite");
}

/// As it was written, unless it could hide or forge what a terminal shows.
std::string recipe_text(const std::string& recipe) {
    std::string plain;
    for (std::size_t i = 0; i < recipe.size(); ++i) {
        const bool is_line_end = recipe.compare(i, 2, "\r\n") == 0;
        if (!is_line_end) plain += recipe[i] == '\t' ? ' ' : recipe[i];
    }
    return terminal_text(plain) == plain ? recipe : terminal_text(recipe);
}

/// The recipe of a build: of that step, or of the only one if `step` is 0.
Result<std::string> kept_recipe(const Database& database, int step) {
    const auto history = TRY(history_steps(database));
    const auto builds = builds_with_recipe(history);
    if (builds.empty()) {
        return fail(ErrorCode::no_data, database.path() + " does not keep its recipe",
                    "files of format 1.3 or newer keep it: build the file again");
    }
    std::string steps;
    for (const HistoryStep* build : builds) {
        if (build->step == step || (step == 0 && builds.size() == 1))
            return recipe_text(build->recipe);
        steps += (steps.empty() ? "" : ", ") + std::to_string(build->step);
    }
    return fail(ErrorCode::usage,
                step == 0 ? database.path() + " was joined from several builds"
                          : "step " + std::to_string(step) + " of " + database.path() +
                                " is not a build with a recipe",
                "name the step with --step: " + steps);
}

}  // namespace

Result<std::unique_ptr<Database>> open_database(const std::string& path,
                                                const Environment& environment) {
    const std::string named = path.empty() ? environment.database : path;
    if (named.empty()) {
        return fail(ErrorCode::usage, "no database is named",
                    "give --db FILE, or set the environment variable THIRSTLINE_DB");
    }
    auto database = Database::open(named);
    if (!database && database.error().code == ErrorCode::io && database.error().hint.empty()) {
        database.error().hint =
            "name the file with --db, or in the environment variable THIRSTLINE_DB";
    }
    return database;
}

void InfoCommand::declare(CLI::App& app) {
    add_word_option(
        app, format_,
        {"--format", "output format: ", {"text", "json"}, "; default: text", "FORMAT", "Output"});
    app.add_flag("--recipe", recipe_, "write the recipe that the database was built from")
        ->group("Output");
    require_number(*app.add_option("--step", step_,
                                   "with --recipe: which build of a joined database, as info "
                                   "numbers them")
                        ->type_name("N")
                        ->group("Output"),
                   1, 9999);
    declare_database(app, naming_, database_);
    const std::string plain = example(program_, name(), naming_);
    app.footer(help_footer({plain, plain + " --format json", plain + " --recipe"}));
}

Result<Outcome> InfoCommand::run(const Environment& environment, TextSink& out) {
    if (step_ > 0 && !recipe_) return fail(ErrorCode::usage, "--step is used only with --recipe");
    const auto database = TRY(open_database(database_, environment));
    if (recipe_) {
        const auto recipe = TRY(kept_recipe(*database, step_));
        TRY(database->check_unchanged());
        TRY(out.write(recipe));
        return Outcome::done;
    }
    const auto text =
        TRY(format_ == "json" ? database_info_json(*database) : database_info_text(*database));
    TRY(database->check_unchanged());
    TRY(out.write(terminal_text(text)));
    return Outcome::done;
}

void VerifyCommand::declare(CLI::App& app) {
    declare_database(app, naming_, database_);
    app.add_option("--key", key_,
                   "public key of the publisher: a file, or its line \"RW...\"; the signature of "
                   "the database is then checked first")
        ->type_name("KEY")
        ->group("Signature");
    app.add_option("--signature", signature_,
                   "file with the signature; default: the database's name with .minisig")
        ->type_name("FILE")
        ->group("Signature");
    const std::string plain = example(program_, name(), naming_);
    app.footer(help_footer({plain, plain + " --key merrow.pub"}));
}

Result<Outcome> VerifyCommand::run(const Environment& environment, TextSink& out) {
    const auto database = TRY(open_database(database_, environment));
    std::string text;
    if (!key_.empty()) {
        const auto key = TRY(public_key_of(key_));
        const std::string signature =
            signature_.empty() ? database->path() + std::string(kSignatureSuffix) : signature_;
        const auto comment = TRY(verified_comment(database->path(), signature, key));
        text = "signed with the key " + key_id_text(key.id) + " (" + comment + ")\n";
    } else if (!signature_.empty()) {
        return fail(ErrorCode::usage, "--signature needs --key, the public key of the publisher");
    }
    const auto verified = TRY(verify_database(*database));
    TRY(database->check_unchanged());
    TRY(out.write(terminal_text(text) + verified_text(verified)));
    return Outcome::done;
}

}  // namespace thirstline
