// How the page of a demand looks: on a phone, on a wide screen, in the dark and on paper.
#pragma once

#include <string>

namespace thirstline {

/// The text of the page's one style element.
[[nodiscard]] std::string page_style();

}  // namespace thirstline
