// The style of a demand page: on a phone, on a wide screen, in dark mode and on paper.
#pragma once

namespace thirstline {

/// demand_page_style.css, to be used after page_style.css.
[[nodiscard]] const char* demand_page_style_css();

}  // namespace thirstline
