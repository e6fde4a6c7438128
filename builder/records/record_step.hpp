// What a row of a record is of.
#pragma once

#include <cstdint>
#include <string_view>

namespace thirstline {

enum class RecordStep : std::uint8_t { hours, days, months };

/// "hour", "day" or "month", as in recipes.
[[nodiscard]] constexpr std::string_view step_name(RecordStep step) {
    return step == RecordStep::hours ? "hour" : step == RecordStep::days ? "day" : "month";
}

}  // namespace thirstline
