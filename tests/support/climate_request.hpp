// The climate lines of a page's request to its core.
#pragma once

#include <string>

#include "schema/answer/answer.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline::test {

/// "eto=200:31,…" and the other layers of the file that a demand uses, one per line.
[[nodiscard]] std::string climate_request(const Answer& answer, const TileLayout& layout);

}  // namespace thirstline::test
