// How the report looks: on a phone, on a wide screen, in the dark and on paper.
#pragma once

#include <string>

namespace thirstline {

/// The text of the report's one style element.
[[nodiscard]] std::string report_style();

}  // namespace thirstline
