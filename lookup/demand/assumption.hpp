// Assumptions of a plan: every default, with its source and how far it can be trusted.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

enum class Basis {
    seen,             ///< read in a stored copy of the publication
    second_hand,      ///< quoted by several independent publications
    memory,           ///< from memory: a default to override
    exact,            ///< arithmetic
    common_practice,  ///< known in the trade, without a publication
    own_choice,       ///< a choice of this project, with its reason in `source`
};

/// "checked against the source", "not checked against the source", …
[[nodiscard]] constexpr std::string_view basis_name(Basis basis) {
    switch (basis) {
        case Basis::seen:
            return "checked against the source";
        case Basis::second_hand:
            return "as quoted elsewhere";
        case Basis::memory:
            return "not checked against the source";
        case Basis::exact:
            return "arithmetic";
        case Basis::common_practice:
            return "common practice";
        case Basis::own_choice:
            return "Thirstline's assumption";
    }
    return "not checked against the source";
}

struct Assumption {
    std::string what;    ///< "soil intake"
    std::string value;   ///< for display, metric first: "5.1 mm/h (0.20 in/h)"
    std::string source;  ///< publication or reason, without a full stop at the end
    Basis basis = Basis::memory;
    friend bool operator==(const Assumption&, const Assumption&) = default;
};

using Assumptions = std::vector<Assumption>;

}  // namespace thirstline
