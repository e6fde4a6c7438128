// Information about a source that is copied into the file and shown with every answer.
#pragma once

#include <string>
#include <vector>

#include "builder/reference_et/penman_monteith.hpp"

namespace thirstline {

/// Range of the key `scale` of a source: a factor for the file's numbers, before their unit.
inline constexpr double kMinSourceScale = 1e-6;
inline constexpr double kMaxSourceScale = 1e6;
/// Range of the key `offset`, on both sides of 0.
inline constexpr double kGreatestSourceOffset = 1e6;

class RecipeTable;

/// An entry of the key url: a text, or { from = "https://…", as = "file name" } where the address
/// does not end in a name for the file. Both may contain {month:02} and {year}.
struct SourceUrl {
    std::string from;
    std::string as;     ///< empty: the last part of the address
    std::string where;  ///< "merrow.toml:34"
};

struct SourceTerms {
    std::string name;
    std::string period;
    std::string licence;
    std::string attribution;
    std::string url;              ///< the first of `urls`
    std::vector<SourceUrl> urls;  ///< addresses of a page or of the files, as the recipe has them
};

/// The keys name, period, licence, attribution (all required) and url.
[[nodiscard]] SourceTerms read_terms(RecipeTable& table);
/// The same without a period, for what has none: postal codes and elevation. All keys may be
/// absent, except that a licence or an attribution without a name is an error.
[[nodiscard]] SourceTerms read_optional_terms(RecipeTable& table);

/// The surface and equation of a source of ETo: the keys reference and equation, both required. A
/// surface other than the baseline's is an error that calls the source a `kind`.
struct EtoTerms {
    ReferenceSurface reference = ReferenceSurface::short_reference;
    std::string equation;
};
[[nodiscard]] EtoTerms read_eto_terms(RecipeTable& table, ReferenceSurface of_baseline,
                                      const std::string& kind);

/// "short" or "tall".
[[nodiscard]] std::string_view reference_name(ReferenceSurface reference);
/// The inverse; anything except "tall" is short.
[[nodiscard]] ReferenceSurface reference_of_name(std::string_view name);

/// Factor for the wind at an anemometer that is more exposed than a lawn, 0.2 to 2; 1 if none is
/// given.
[[nodiscard]] double wind_factor_of(RecipeTable& table);

}  // namespace thirstline
