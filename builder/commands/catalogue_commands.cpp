#include "builder/commands/catalogue_commands.hpp"

#include <CLI/App.hpp>

#include "builder/catalogue/catalogue.hpp"
#include "builder/catalogue/catalogue_text.hpp"
#include "builder/commands/recipe_reference.hpp"
#include "builder/licences/licences.hpp"
#include "schema/command_line/option_values.hpp"

namespace thirstline {

namespace {

template <class T>
std::vector<std::string_view> names_of(const std::vector<T>& entries) {
    std::vector<std::string_view> names;
    for (const T& entry : entries) names.push_back(entry.name);
    return names;
}

}  // namespace

void SourcesCommand::declare(CLI::App& app) {
    CLI::Option* source =
        app.add_option("source", source_, "source to print; without it, all are listed");
    source->type_name("NAME");
    if (const auto catalogue = Catalogue::load())
        offer_words(*source, names_of(catalogue->sources()));
    add_word_option(
        app, format_,
        {"--format", "output format: ", {"text", "json"}, "; default: text", "FORMAT", "Output"});
    app.footer(
        "Each source states how well its facts are known: seen in a file, second-hand or from\n"
        "memory. "
        "Read its own terms before you publish a file made from it.\n\n" +
        help_footer({"thirstline-builder sources", "thirstline-builder sources terraclimate",
                     "thirstline-builder sources --format json"}));
}

Result<Outcome> SourcesCommand::run(const Environment& /*environment*/, TextSink& out) {
    const auto catalogue = TRY(Catalogue::load());
    const auto licences = TRY(Licences::known());
    std::string text;
    if (source_.empty()) {
        text = format_ == "json" ? sources_json(catalogue.sources(), licences)
                                 : sources_text(catalogue, licences);
    } else {
        const auto source = TRY(catalogue.source(source_));
        text = format_ == "json" ? sources_json({source}, licences) : source_text(source, licences);
    }
    TRY(out.write(text));
    return Outcome::done;
}

void RecipeCommand::declare(CLI::App& app) {
    CLI::Option* recipe = app.add_option("region", recipe_, "region; without it, all are listed");
    recipe->type_name("NAME");
    if (const auto catalogue = Catalogue::load())
        offer_words(*recipe, names_of(catalogue->recipes()));
    app.add_flag("--keys", shows_keys_, "list the keys, variables and units of a recipe")
        ->excludes(recipe);
    add_word_option(app, format_,
                    {"--format",
                     "output format of --keys: ",
                     {"text", "man"},
                     "; default: text",
                     "FORMAT",
                     "Output"});
    app.footer(help_footer({"thirstline-builder recipe",
                            "thirstline-builder recipe conterminous-us > us.toml",
                            "thirstline-builder recipe --keys"}));
}

Result<Outcome> RecipeCommand::run(const Environment& /*environment*/, TextSink& out) {
    if (shows_keys_) {
        TRY(out.write(format_ == "man" ? recipe_reference_man() : recipe_reference_text()));
        return Outcome::done;
    }
    if (format_ != "text")
        return fail(ErrorCode::usage, "--format is not valid without --keys", "add --keys");
    const auto catalogue = TRY(Catalogue::load());
    if (recipe_.empty()) {
        TRY(out.write(recipes_text(catalogue)));
        return Outcome::done;
    }
    const auto recipe = TRY(catalogue.recipe(recipe_));
    const auto text = TRY(recipe_text(catalogue, recipe));
    TRY(out.write(text));
    return Outcome::done;
}

}  // namespace thirstline
