// Information about a source that is copied into the file and shown with every answer.
#pragma once

#include <string>

#include "builder/reference_et/penman_monteith.hpp"

namespace thirstline {

/// Range of the key `scale` of a source: a factor for the file's numbers, before their unit.
inline constexpr double kMinSourceScale = 1e-6;
inline constexpr double kMaxSourceScale = 1e6;
/// Range of the key `offset`, on both sides of 0.
inline constexpr double kGreatestSourceOffset = 1e6;

class RecipeTable;

struct SourceTerms {
    std::string name;
    std::string period;
    std::string licence;
    std::string attribution;
    std::string url;
};

/// The keys name, period, licence, attribution (all required) and url.
[[nodiscard]] SourceTerms read_terms(RecipeTable& table);

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

}  // namespace thirstline
