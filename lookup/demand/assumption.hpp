// Assumptions of a plan: every default, with its source and how far it can be trusted.
#pragma once

#include <vector>

#include "lookup/texts/phrase.hpp"

namespace thirstline {

enum class Basis {
    seen,             ///< read in a stored copy of the publication
    second_hand,      ///< quoted by several independent publications
    memory,           ///< from memory: a default to override
    given,            ///< by the user
    common_practice,  ///< known in the trade, without a publication
    own_choice,       ///< a choice of this project, with its reason in `source`
};

/// "checked against the source", "not checked against the source", …
[[nodiscard]] constexpr TextKey basis_name(Basis basis) {
    switch (basis) {
        case Basis::seen:
            return "basis.seen"_text;
        case Basis::second_hand:
            return "basis.second_hand"_text;
        case Basis::memory:
            return "basis.memory"_text;
        case Basis::given:
            return "basis.given"_text;
        case Basis::common_practice:
            return "basis.common_practice"_text;
        case Basis::own_choice:
            return "basis.own_choice"_text;
    }
    return "basis.memory"_text;
}

struct Assumption {
    Phrase what;    ///< "soil intake"
    Phrase value;   ///< "5.1 mm/h (0.20 in/h)"
    Phrase source;  ///< publication or reason, without a full stop at the end
    Basis basis = Basis::memory;
    friend bool operator==(const Assumption&, const Assumption&) = default;
};

using Assumptions = std::vector<Assumption>;

}  // namespace thirstline
