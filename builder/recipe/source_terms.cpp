#include "builder/recipe/source_terms.hpp"

#include "builder/recipe/recipe_table.hpp"

namespace thirstline {

namespace {

std::vector<SourceUrl> read_urls(RecipeTable& table) {
    std::vector<SourceUrl> urls;
    for (const auto& entry : table.texts_or_tables("url", "[\"https://example.org/tmax.tif\"]")) {
        if (entry.table == nullptr) {
            urls.push_back({entry.text, "", table.where("url")});
            continue;
        }
        RecipeTable inner = table.inner(*entry.table, "url");
        SourceUrl url{inner.required_text("from", "\"https://example.org/file?id=7\""),
                      inner.required_text("as", "\"normals.zip\""), inner.where()};
        inner.refuse_other_keys();
        urls.push_back(std::move(url));
    }
    return urls;
}

void add_urls(RecipeTable& table, SourceTerms& terms) {
    terms.urls = read_urls(table);
    if (!terms.urls.empty()) terms.url = terms.urls.front().from;
}

}  // namespace

SourceTerms read_terms(RecipeTable& table) {
    SourceTerms terms;
    terms.name = table.required_text("name", "\"Valley temperature normals\"");
    terms.period = table.required_text("period", "\"1991-2020\"");
    terms.licence = table.required_text("licence", "\"CC-BY-4.0\"");
    terms.attribution = table.required_text("attribution", "\"Merrow Weather Office\"");
    add_urls(table, terms);
    return terms;
}

SourceTerms read_optional_terms(RecipeTable& table) {
    SourceTerms terms;
    terms.name = table.text("name");
    terms.licence = table.text("licence");
    terms.attribution = table.text("attribution");
    add_urls(table, terms);
    if (terms.name.empty() && !(terms.licence.empty() && terms.attribution.empty()))
        table.fail_with_missing(
            "\"licence\" and \"attribution\" need the source's name; add a line such as "
            "name = \"Merrow elevation model\"");
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

double wind_factor_of(RecipeTable& table) {
    // Version 0.1 called it exposure, which in zone files means something else.
    return table.number("wind_factor", table.number("exposure", 1.0, 0.2, 2.0), 0.2, 2.0);
}

}  // namespace thirstline
