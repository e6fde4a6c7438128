// The page's own files, embedded at build time. See page_assets.cmake.
#pragma once

#include <string_view>

namespace thirstline {

struct PageAssets {
    std::string_view index_template;           ///< HTML
    std::string_view service_worker_template;  ///< JavaScript
    std::string_view page_script;              ///< JavaScript, one module
    std::string_view reader;                   ///< WebAssembly
    std::string_view demand;                   ///< WebAssembly
};

/// Null in a program built without them.
[[nodiscard]] const PageAssets* page_assets();

}  // namespace thirstline
