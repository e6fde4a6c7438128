// Made-up worlds for exports and joins.
#pragma once

#include "tests/schema/small_worlds.hpp"

namespace thirstline::test {

/// A lattice of that sort, often with a finer one of higher rank over it; now and then with wide
/// waters, over which the nearest point is far.
[[nodiscard]] World random_world(Sort sort, Random& random);

}  // namespace thirstline::test
