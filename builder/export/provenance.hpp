// The sources of a database's numbers and the required notices: included in every export.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "schema/database/edition.hpp"

namespace thirstline {

/// Texts for other formats: each on one line, without control characters, in UTF-8.
struct Provenance {
    std::string title;
    std::string region;
    std::string publisher;
    std::string notice;
    std::string period;           ///< of the sources, by kind where kinds differ
    std::string reference;        ///< "short" or "tall"
    std::string site_correction;  ///< "reference" or "none"
    std::string soil_heat_flux;   ///< "none" or "monthly"; empty before format 1.2
    std::string content_sha256;   ///< of the database
    std::string selection;        ///< description of the selection; empty for everything
    std::string program;          ///< name and version
    Edition edition;
    std::vector<Source> sources;
};

/// Errors: those of reading the sources.
[[nodiscard]] Result<Provenance> provenance_of(Database& database, const std::string& selection);

/// Replaces control characters with blanks, and bytes that are not UTF-8 with question marks.
[[nodiscard]] std::string on_one_line(std::string_view text);

/// The sources' licences, each once, separated by "; ".
[[nodiscard]] std::string licences(const Provenance& provenance);
/// The sources' attributions, likewise.
[[nodiscard]] std::string attributions(const Provenance& provenance);
/// A source on one line: "rain: Merrow rain, 1991-2020. Merrow Weather Office. License: CC0-1.0."
[[nodiscard]] std::string source_line(const Source& source);
/// Such as "reference evapotranspiration (short reference surface, grass)".
[[nodiscard]] std::string reference_et_name(const Provenance& provenance);

/// Pairs of names in capitals and values, for formats with such pairs; none of them empty. The
/// sources are not included.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> provenance_items(
    const Provenance& provenance);

/// The complete provenance for a text file.
[[nodiscard]] std::string provenance_text(const Provenance& provenance);

}  // namespace thirstline
