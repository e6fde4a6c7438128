// What a page asks its core of a place: the climate's lines of a request.
#pragma once

#include <string>

#include "schema/answer/answer.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline::test {

/// "eto=200:31,…" and the other layers of the file that a demand goes by, a line each.
[[nodiscard]] std::string climate_request(const Answer& answer, const TileLayout& layout);

}  // namespace thirstline::test
