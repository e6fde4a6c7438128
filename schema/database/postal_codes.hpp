// Postal codes as people type them, normalised to the form stored in a file.
//
//   US  97401, 97401-1234, 974011234  →  97401     (leading zeros kept)
//   CA  K1A 0B1, k1a0b1, K1A          →  K1A       (open data has the first half only)
//   MX  five digits
//   any other country: trimmed, upper case, each run of blanks one blank
//
// Thread safety: pure functions, except for the Database, which belongs to one thread at a time.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// Two letters in upper case.
/// Errors (usage): anything else.
[[nodiscard]] Result<std::string> normalised_country(std::string_view text);

/// `country` as normalised_country returns it.
/// Errors (usage): a text that is not in the form of the country's codes; a hint if a spreadsheet
/// seems to have dropped leading zeros.
[[nodiscard]] Result<std::string> normalised_postal_code(std::string_view country,
                                                         std::string_view text);

/// All normal forms that the text can have in some country, without repetition.
/// Errors (usage): an empty text, or one that is not a postal code in any country.
[[nodiscard]] Result<std::vector<std::string>> possible_postal_codes(std::string_view text);

struct CodeInCountry {
    std::string country;  ///< two letters in upper case
    std::string code;     ///< as typed
};
/// "US 68847", "us-68847", "68847, US": a country before or after its code. Nothing if the text has
/// no such parts; some countries' codes have this form themselves.
[[nodiscard]] std::optional<CodeInCountry> code_in_country(std::string_view text);

/// Whether this row of a file matches `text` under the rules of the row's own country.
[[nodiscard]] bool is_meant_by(const PostalPlace& place, std::string_view text);

/// All places of the file that the text can mean, in any country. Errors: those of
/// possible_postal_codes, and of reading the file.
[[nodiscard]] Result<std::vector<PostalPlace>> places_meant_by(Database& database,
                                                               std::string_view text);

/// "did you mean 07401?" for three or four digits, or eight; else empty.
[[nodiscard]] std::string lost_zero_hint(std::string_view text);

}  // namespace thirstline
