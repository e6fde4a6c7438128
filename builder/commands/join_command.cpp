#include "builder/commands/join_command.hpp"

#include <CLI/App.hpp>
#include <array>
#include <optional>

#include "builder/commands/output_paths.hpp"
#include "builder/join/join.hpp"
#include "builder/progress/interruption.hpp"
#include "builder/recipe/edition_texts.hpp"
#include "schema/command_line/option_values.hpp"

namespace thirstline {

namespace {

struct TextOption {
    const char* key;  ///< in the metadata
    const char* option;
    const char* meaning;
};
constexpr std::array<TextOption, 9> kTexts{{
    {"title", "--title", "title of the joined file; default: the titles of its baselines"},
    {"region", "--region", "the area it covers, in words"},
    {"publisher", "--publisher", "who publishes it"},
    {"notice", "--notice", "text shown with every answer"},
    {"edition", "--edition", "edition, such as 2026.1"},
    {"date", "--date", "date of the edition, such as 2026-12-01"},
    {"doi", "--doi", "DOI of the edition"},
    {"contact", "--contact", "address for questions"},
    {"licence", "--licence", "license of the joined file; its sources have their own"},
}};

Result<std::string> normal_text(const std::string& key, const std::string& text) {
    const auto normal = text.empty()    ? std::optional(text)
                        : key == "doi"  ? normal_doi(text)
                        : key == "date" ? normal_date(text)
                                        : std::optional(text);
    if (normal) return *normal;
    return fail(ErrorCode::usage,
                "--" + key + " must be " +
                    (key == "doi" ? "a DOI such as 10.1234/abcd" : "a day such as 2026-12-01") +
                    ", not \"" + text + "\"");
}

}  // namespace

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
    require_number(*app.add_option("--blend-km", options_.blend_km,
                                   "width over which a finer baseline is blended into the coarser "
                                   "one inside its border; 0: not at all; default: 30")
                        ->type_name("KM")
                        ->group("Overlays"),
                   0, kMaxBlendKm);
    for (const TextOption& text : kTexts) {
        app.add_option(text.option, texts_[text.key], text.meaning)
            ->type_name("TEXT")
            ->group("Overlays");
    }
    signing_.declare(app);
    app.footer(
        "Parts made by build --part or --tile-rows, and subsets made by export, are joined into "
        "the\n"
        "whole. Parts that lack rows are refused without --partial.\n"
        "Other baselines are layered: the lattice with the smaller spacing answers first; of two\n"
        "with the same spacing, that of the file named later. Near its border on land, its values\n"
        "are blended into those of the lattice below, so that answers do not jump there. If files\n"
        "contradict each other, nothing is written.\n\n" +
        help_footer({"thirstline-builder join south.sqlite north.sqlite -o whole.sqlite",
                     "thirstline-builder join world.sqlite merrow.sqlite -o both.sqlite"}));
}

Result<Outcome> JoinCommand::run(const Environment& /*environment*/, TextSink& /*out*/) {
    TRY(refuse_existing(output_, options_.overwrite));
    for (const std::string& database : databases_) TRY(refuse_same_file(output_, database));
    for (const auto& [key, text] : texts_)
        if (text) options_.texts[key] = TRY(normal_text(key, *text));
    const auto signing_key = TRY(key_for_output(signing_, output_, options_.overwrite));
    TRY(run_join(databases_, output_, options_, watch_for_interruption()));
    TRY(sign_if_asked(signing_key, output_));
    return Outcome::done;
}

}  // namespace thirstline
