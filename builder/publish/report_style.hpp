// The style of the report: on a phone, on a wide screen, in dark mode and on paper. Shades run from
// pale to deep in light mode and from deep to pale in dark mode, so that higher values always have
// more contrast, in gray as in color.
#pragma once

namespace thirstline {

/// report_style.css, which is added after page_style.css.
[[nodiscard]] const char* report_style_css();

}  // namespace thirstline
