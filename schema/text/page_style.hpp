// What all of the project's pages look like: colours by day and by night, letters, tables.
#pragma once

#include <string>
#include <string_view>

namespace thirstline {

/// page_style.css, to which each page adds its own.
[[nodiscard]] const char* page_style_css();

/// The beginning of a page in one file, up to and with "<main>". Its policy lets nothing be fetched
/// or run, and no style but this one in.
[[nodiscard]] std::string one_file_page_head(std::string_view title, std::string_view style);

}  // namespace thirstline
