// CITATION.cff: how to cite a published dataset, for programs. Citation File Format 1.2.0
// (https://citation-file-format.github.io).
#pragma once

#include <string>

#include "builder/export/provenance.hpp"

namespace thirstline {

inline constexpr const char* kCitationName = "CITATION.cff";

/// The file's content; empty without a publisher, because the format requires an author.
[[nodiscard]] std::string citation_cff(const Provenance& provenance);

}  // namespace thirstline
