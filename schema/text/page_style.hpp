// The common style of all pages: light and dark colours, fonts, tables.
#pragma once

#include <string>
#include <string_view>

namespace thirstline {

/// page_style.css; each page adds its own rules.
[[nodiscard]] const char* page_style_css();

/// The beginning of a single-file page, up to and including "<main>". Its content security policy
/// forbids fetching, scripts and any style other than this one. `language`: "en", "es".
[[nodiscard]] std::string one_file_page_head(std::string_view title, std::string_view style,
                                             std::string_view language = "en");

}  // namespace thirstline
