// The open sources that the program knows by name, and the ready recipes made from them. The data
// are in sources.toml and recipes.toml, which describe the fields.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

struct CatalogueSource {
    std::string name;
    std::string title;
    std::string provider;
    std::string kind;
    std::string period;  ///< empty for elevation and postal codes
    std::string region;
    std::string resolution;
    std::vector<std::string> variables;
    std::string licence;
    std::optional<double> size_mb;
    std::string verified;  ///< "seen", "second-hand" or "from memory"
    std::string verified_note;
    std::string note;
    std::string by_hand;   ///< how to get the files; empty if the block has their addresses
    std::string not_used;  ///< why ready recipes leave it out; empty if they may use it
    std::string block;     ///< with {country}; empty if the builder cannot read the source

    [[nodiscard]] bool is_by_country() const;
    /// The part of a recipe, for a country ("US") if the source has a file for each.
    [[nodiscard]] std::string block_for(std::string_view country) const;
    /// The addresses in the block, in order.
    [[nodiscard]] std::vector<std::string> urls() const;
};

struct ReadyRecipe {
    struct Part {
        std::string source;
        std::vector<std::string> countries;  ///< empty unless the source is by country
    };
    std::string name;
    std::string title;
    std::string about;
    std::string head;  ///< the tables before the sources
    std::vector<Part> parts;
    std::vector<std::string> not_used;
};

class Catalogue {
  public:
    /// Errors: internal, if the program's own tables are wrong.
    [[nodiscard]] static Result<Catalogue> load();

    [[nodiscard]] const std::vector<CatalogueSource>& sources() const { return sources_; }
    [[nodiscard]] const std::vector<ReadyRecipe>& recipes() const { return recipes_; }
    /// Errors: usage for an unknown name, with the nearest one and all names as the hint.
    [[nodiscard]] Result<CatalogueSource> source(std::string_view name) const;
    [[nodiscard]] Result<ReadyRecipe> recipe(std::string_view name) const;

  private:
    std::vector<CatalogueSource> sources_;
    std::vector<ReadyRecipe> recipes_;
};

/// The whole recipe, with comments: what each source is, its licence, what is left out and why.
/// Errors: internal, if it names a source that the catalogue lacks.
[[nodiscard]] Result<std::string> recipe_text(const Catalogue& catalogue,
                                              const ReadyRecipe& recipe);

}  // namespace thirstline
