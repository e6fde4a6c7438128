#include "builder/recipe/source_terms.hpp"

#include "builder/recipe/recipe_table.hpp"

namespace thirstline {

SourceTerms read_terms(RecipeTable& table) {
    SourceTerms terms;
    terms.name = table.required_text("name", "\"Valley temperature normals\"");
    terms.period = table.required_text("period", "\"1991-2020\"");
    terms.licence = table.required_text("licence", "\"CC-BY-4.0\"");
    terms.attribution = table.required_text("attribution", "\"Merrow Weather Office\"");
    terms.url = table.text("url");
    return terms;
}

EtoTerms read_eto_terms(RecipeTable& table, ReferenceSurface of_baseline, const std::string& kind) {
    EtoTerms terms;
    terms.reference = reference_of_name(table.required_choice("reference", {"short", "tall"}));
    terms.equation = table.required_text("equation", "\"ASCE-EWRI 2005\"");
    if (terms.reference != of_baseline) {
        table.fail_at(
            "reference",
            "this " + kind + " of ETo is of the " + std::string(reference_name(terms.reference)) +
                " reference, and the baseline of the " + std::string(reference_name(of_baseline)) +
                " one; leave the " + kind + " out or change [baseline] reference");
    }
    return terms;
}

std::string_view reference_name(ReferenceSurface reference) {
    return reference == ReferenceSurface::tall_reference ? "tall" : "short";
}

ReferenceSurface reference_of_name(std::string_view name) {
    return name == "tall" ? ReferenceSurface::tall_reference : ReferenceSurface::short_reference;
}

}  // namespace thirstline
