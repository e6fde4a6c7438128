#include "builder/commands/recipe_reference.hpp"

#include "builder/grids/variables_and_units.hpp"
#include "builder/recipe/recipe_keys.hpp"
#include "schema/base/version.hpp"
#include "schema/base/words.hpp"
#include "schema/command_line/reference/man_page.hpp"
#include "schema/text/text_wrapping.hpp"

namespace thirstline {

namespace {

/// "text, required"; "number, default 50"
std::string form_of(const RecipeKey& key) {
    std::string form(key.form);
    if (key.otherwise == "required") return form + ", required";
    return key.otherwise.empty() ? form : form + ", default " + std::string(key.otherwise);
}

std::string also_sentence(const RecipeKeyGroup& group) {
    return group.also.empty() ? "" : "Further keys: see " + std::string(group.also) + ".";
}

std::string sentences(const RecipeKeyGroup& group) {
    std::string text(group.meaning);
    const std::string also = also_sentence(group);
    if (!text.empty() && !also.empty()) text += ' ';
    return text + also;
}

std::string units_text(Variable variable) {
    return joined(units_of(variable));
}

}  // namespace

std::string recipe_reference_text() {
    constexpr std::size_t kWidth = 80;
    std::string out;
    for (const RecipeKeyGroup& group : recipe_key_groups()) {
        out += std::string(group.table) + "\n" + wrapped(sentences(group), kWidth, "  ", "  ");
        for (const RecipeKey& key : group.keys) {
            out += "  " + std::string(key.key) + " = " + form_of(key) + "\n";
            out += wrapped(key.meaning, kWidth, "      ", "      ");
        }
        out += "\n";
    }
    out += "variables and their units\n";
    for (const Variable variable : all_variables())
        out += wrapped(std::string(variable_name(variable)) + ": " + units_text(variable), kWidth,
                       "  ", "      ");
    return out;
}

std::string recipe_reference_man() {
    std::string out = std::string(".TH THIRSTLINE\\-RECIPE 5 \"\" \"Thirstline ") +
                      kProgramVersion +
                      "\" \"File Formats\"\n.SH NAME\nthirstline\\-recipe \\- what a baseline is "
                      "built from\n.SH DESCRIPTION\nA recipe is a TOML file that\n"
                      ".BR thirstline\\-builder (1)\nreads: it names the sources of a baseline and "
                      "its points. Paths are relative to the recipe; a path that begins with "
                      "\\fI{data}\\fR is in the folder of downloads. An unknown key is an error.\n"
                      ".SH TABLES AND KEYS\n";
    for (const RecipeKeyGroup& group : recipe_key_groups()) {
        out += ".SS " + roff_text(group.table) + "\n" + roff_text(sentences(group)) + "\n";
        for (const RecipeKey& key : group.keys) {
            out += ".TP\n\\fB" + roff_text(key.key) + "\\fR = " + roff_text(form_of(key)) + "\n" +
                   roff_text(key.meaning) + "\n";
        }
    }
    out += ".SH VARIABLES AND UNITS\n";
    for (const Variable variable : all_variables())
        out += ".TP\n\\fB" + roff_text(variable_name(variable)) + "\\fR\n" +
               roff_text(units_text(variable)) + "\n";
    return out +
           "An amount without \"per\" is the total of the month, or of the day in records of "
           "days.\n.SH SEE ALSO\n.BR thirstline\\-builder (1),\n.BR thirstline (5)\n";
}

}  // namespace thirstline
