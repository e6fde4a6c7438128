// The catalogue for people and for programs.
#pragma once

#include <string>

#include "builder/catalogue/catalogue.hpp"
#include "builder/licences/licences.hpp"

namespace thirstline {

/// "30 MB", "1.7 MB", "2.4 GB"
[[nodiscard]] std::string megabytes_text(double megabytes);

/// "second-hand: stated by others who tested it. The file was not seen."
[[nodiscard]] std::string verified_text(const CatalogueSource& source);

/// All sources, a few lines each.
[[nodiscard]] std::string sources_text(const Catalogue& catalogue, const Licences& licences);
/// One source with all that is known about it as comments, and its block: ready to paste.
[[nodiscard]] std::string source_text(const CatalogueSource& source, const Licences& licences);

/// {"schema_version": 1, "sources": […]}, of one source or of all.
[[nodiscard]] std::string sources_json(const std::vector<CatalogueSource>& sources,
                                       const Licences& licences);

/// The ready recipes, one a line.
[[nodiscard]] std::string recipes_text(const Catalogue& catalogue);

}  // namespace thirstline
