// The JSON that page_core.h describes.
#pragma once

#include <string>
#include <string_view>

namespace thirstline {

/// The demand for a request, or an error.
[[nodiscard]] std::string page_answer(std::string_view request);

}  // namespace thirstline
