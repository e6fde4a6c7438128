// What a plan took for granted, said aloud: every default, with where it comes from and how far it
// can be trusted.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

enum class Standing {
    seen,             ///< read in a stored copy of the publication
    second_hand,      ///< in several independent places that quote it
    memory,           ///< from memory: a default to overrule
    exact,            ///< arithmetic
    common_practice,  ///< a fact of the trade without a publication
    own_choice,       ///< a choice of this project, with its reason in `source`
};

/// "seen", "second hand", "memory", "exact", "common practice" or "own choice".
[[nodiscard]] constexpr std::string_view standing_name(Standing standing) {
    switch (standing) {
        case Standing::seen:
            return "seen";
        case Standing::second_hand:
            return "second hand";
        case Standing::memory:
            return "memory";
        case Standing::exact:
            return "exact";
        case Standing::common_practice:
            return "common practice";
        case Standing::own_choice:
            return "own choice";
    }
    return "memory";
}

struct Assumption {
    std::string what;    ///< "soil intake"
    std::string value;   ///< for people, metric first: "5.1 mm/h (0.20 in/h)"
    std::string source;  ///< publication or reason; no full stop at its end
    Standing standing = Standing::memory;
    friend bool operator==(const Assumption&, const Assumption&) = default;
};

using Assumptions = std::vector<Assumption>;

}  // namespace thirstline
