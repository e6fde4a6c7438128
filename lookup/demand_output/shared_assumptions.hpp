// What a plan took for granted, put together: what is the same for several zones is said once.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "lookup/demand/plan.hpp"

namespace thirstline {

/// Something taken for granted, from one source, with all zones for which it was.
struct SharedAssumption {
    struct Value {
        std::string value;               ///< "5.1 mm/h (0.20 in/h)"
        std::vector<std::string> zones;  ///< empty: the site as a whole
    };
    std::string what;
    std::vector<Value> values;  ///< each once
    std::string source;
    Basis basis = Basis::memory;
};

/// The site's first, then the zones', in order of their first mention.
[[nodiscard]] std::vector<SharedAssumption> shared_assumptions(const DemandPlan& plan);

/// "5.1 mm/h (0.20 in/h) for north lawn; 10.2 mm/h (0.40 in/h) for back lawn"; of a plan with
/// `zones` zones, all of which need not be named.
[[nodiscard]] std::string values_text(const SharedAssumption& assumption, std::size_t zones);

/// "Soil intake: 5.1 mm/h (0.20 in/h). Test protocol of … (memory)."
[[nodiscard]] std::string assumption_sentence(const SharedAssumption& assumption,
                                              std::size_t zones);

/// The same by source, where room is dear: what comes from one publication stands together, and so
/// do the project's own choices, whose reasons the text and the JSON tell.
[[nodiscard]] std::vector<std::string> assumptions_by_source(const DemandPlan& plan);

}  // namespace thirstline
