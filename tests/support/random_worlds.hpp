// Random worlds for exports and joins.
#pragma once

#include <string>

#include "tests/support/small_worlds.hpp"

namespace thirstline::test {

/// A lattice of that sort, often with a finer one of higher rank over it; sometimes with wide areas
/// of water, where the nearest point is far.
[[nodiscard]] World random_world(Sort sort, Random& random);

/// "-38.1234567".
[[nodiscard]] std::string decimal_degrees(std::int64_t e7);

/// A box of sites; it may cross the antimeridian.
struct Box {
    LatLonE7 south_west;
    std::int64_t height_e7;
    std::int64_t width_e7;

    [[nodiscard]] LatLonE7 at(std::int64_t north_e7, std::int64_t east_e7) const;
    [[nodiscard]] std::string text() const;  ///< in the form for --bbox
    /// Inside, on edges and at corners.
    [[nodiscard]] LatLonE7 random_site(Random& random) const;
};

/// Between sites around the lattice; sometimes a line, a single site, or up to a pole.
[[nodiscard]] Box random_box(const Lattice& lattice, Random& random);

}  // namespace thirstline::test
