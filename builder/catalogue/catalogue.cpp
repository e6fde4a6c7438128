#include "builder/catalogue/catalogue.hpp"

#include "builder/catalogue/catalogue_tables.hpp"
#include "builder/licences/embedded_tables.hpp"
#include "schema/base/nearest_name.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

constexpr std::string_view kCountryMark = "{country}";
constexpr std::string_view kExampleCountry = "US";

CatalogueSource source_of(const toml::table& table) {
    return {text_at(table, "name"),       text_at(table, "title"),
            text_at(table, "provider"),   text_at(table, "kind"),
            text_at(table, "period"),     text_at(table, "region"),
            text_at(table, "resolution"), texts_at(table, "variables"),
            text_at(table, "licence"),    table["size_mb"].value<double>(),
            text_at(table, "verified"),   text_at(table, "verified_note"),
            text_at(table, "note"),       text_at(table, "by_hand"),
            text_at(table, "not_used"),   text_at(table, "block")};
}

ReadyRecipe recipe_of(const toml::table& table) {
    ReadyRecipe recipe{text_at(table, "name"),
                       text_at(table, "title"),
                       text_at(table, "about"),
                       text_at(table, "head"),
                       {},
                       texts_at(table, "not_used")};
    if (const toml::array* parts = table["sources"].as_array()) {
        for (const toml::node& part : *parts) {
            if (const toml::table* fields = part.as_table())
                recipe.parts.push_back(
                    {text_at(*fields, "source"), texts_at(*fields, "countries")});
        }
    }
    return recipe;
}

template <class T>
Result<T> named(const std::vector<T>& entries, std::string_view name, const char* what) {
    std::vector<std::string_view> names;
    for (const T& entry : entries) {
        if (entry.name == name) return entry;
        names.push_back(entry.name);
    }
    return fail(
        ErrorCode::usage,
        "unknown " + std::string(what) + " " + in_quotes(name) + did_you_mean_clause(name, names),
        "the names are " + joined(names));
}

void add_urls(const toml::node& node, std::vector<std::string>& urls) {
    if (const toml::table* table = node.as_table()) {
        for (const auto& [key, value] : *table) {
            if (key.str() == "url" && value.is_string()) {
                urls.push_back(value.value_or(std::string()));
            } else if (key.str() == "url" && value.is_array()) {
                for (const toml::node& entry : *value.as_array()) {
                    const toml::table* fields = entry.as_table();
                    urls.push_back(fields != nullptr ? text_at(*fields, "from")
                                                     : entry.value_or(std::string()));
                }
            } else {
                add_urls(value, urls);
            }
        }
    } else if (const toml::array* array = node.as_array()) {
        for (const toml::node& entry : *array) add_urls(entry, urls);
    }
}

}  // namespace

bool CatalogueSource::is_by_country() const {
    return block.find(kCountryMark) != std::string::npos;
}

std::string CatalogueSource::block_for(std::string_view country) const {
    std::string text = block;
    const std::string_view code = country.empty() ? kExampleCountry : country;
    for (auto at = text.find(kCountryMark); at != std::string::npos; at = text.find(kCountryMark))
        text.replace(at, kCountryMark.size(), code);
    return text;
}

std::vector<std::string> CatalogueSource::urls() const {
    std::vector<std::string> urls;
    const toml::parse_result document = toml::parse(block_for(""));
    if (document) add_urls(document.table(), urls);
    return urls;
}

Result<Catalogue> Catalogue::load() {
    Catalogue catalogue;
    catalogue.sources_ = TRY(embedded_entries(sources_toml(), "source", &source_of));
    catalogue.recipes_ = TRY(embedded_entries(recipes_toml(), "recipe", &recipe_of));
    return catalogue;
}

Result<CatalogueSource> Catalogue::source(std::string_view name) const {
    return named(sources_, name, "source");
}

Result<ReadyRecipe> Catalogue::recipe(std::string_view name) const {
    return named(recipes_, name, "recipe");
}

}  // namespace thirstline
