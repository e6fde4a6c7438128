// How the page of a demand looks: on a phone, on a wide screen, in the dark and on paper.
#pragma once

namespace thirstline {

/// demand_page_style.css, which follows page_style.css.
[[nodiscard]] const char* demand_page_style_css();

}  // namespace thirstline
