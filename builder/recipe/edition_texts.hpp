// Texts of an edition in their normal form, from a recipe or a command.
#pragma once

#include <optional>
#include <string>

namespace thirstline {

/// "10.1234/abcd" of the same, or of it with "https://doi.org/" or "doi:" before it; nothing for
/// other texts.
[[nodiscard]] std::optional<std::string> normal_doi(std::string text);

/// "2026-12-01" of a day of the Gregorian calendar that is written so; nothing for other texts.
[[nodiscard]] std::optional<std::string> normal_date(const std::string& text);
[[nodiscard]] std::optional<std::string> normal_date(int year, int month, int day);

}  // namespace thirstline
