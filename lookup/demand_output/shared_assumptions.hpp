// A plan's assumptions, grouped: an assumption that several zones share is listed once.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "lookup/demand/plan.hpp"
#include "lookup/texts/phrase.hpp"

namespace thirstline {

/// An assumption from one source, with all zones that use it.
struct SharedAssumption {
    struct Value {
        Phrase value;                    ///< "5.1 mm/h (0.20 in/h)"
        std::vector<std::string> zones;  ///< empty: the whole site
    };
    Phrase what;
    std::vector<Value> values;  ///< each once
    Phrase source;
    Basis basis = Basis::memory;
};

/// The site's first, then the zones', in order of their first mention.
[[nodiscard]] std::vector<SharedAssumption> shared_assumptions(const DemandPlan& plan);

/// "5.1 mm/h (0.20 in/h) for north lawn; 10.2 mm/h (0.40 in/h) for back lawn"; `zones` is the
/// number of zones in the plan: if a value is for all of them, they are not named.
[[nodiscard]] Phrase values_of(const SharedAssumption& assumption, std::size_t zones);

/// "Soil intake: 5.1 mm/h (0.20 in/h). Test protocol of … (memory)."
[[nodiscard]] std::string assumption_sentence(const SharedAssumption& assumption, std::size_t zones,
                                              const TextStyle& style);

/// The same by source, for little space: everything from one publication is grouped, and so are the
/// project's own choices; the text and the JSON give the reasons for these.
[[nodiscard]] std::vector<std::string> assumptions_by_source(const DemandPlan& plan,
                                                             const TextStyle& style);

}  // namespace thirstline
