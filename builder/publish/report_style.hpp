// How the report looks: on a phone, on a wide screen, in the dark and on paper. Shades run from
// pale to deep by day and from deep to pale by night, so that more is always more visible, in gray
// as in color.
#pragma once

namespace thirstline {

/// report_style.css, which follows page_style.css.
[[nodiscard]] const char* report_style_css();

}  // namespace thirstline
