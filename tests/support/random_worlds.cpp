#include "tests/support/random_worlds.hpp"

#include <algorithm>
#include <cstdio>
#include <cstdlib>

namespace thirstline::test {

World random_world(Sort sort, Random& random) {
    World world;
    const int edge = static_cast<int>(random.between(2, 9));
    world.layout = layout_of(edge);
    const int percent =
        static_cast<int>(random.chance(30) ? random.between(1, 6) : random.between(20, 100));
    world.lattices.push_back(random_lattice(sort, 1, edge, random));
    if (random.chance(50)) {
        Lattice fine = world.lattices.front();
        fine.id = 2;
        fine.rank = 5;
        fine.spacing_arcsec = std::max(1, fine.spacing_arcsec / 3);
        fine.columns = std::max(1, std::min(fine.columns, 9));
        fine.rows = std::max(1, std::min(fine.rows, 9));
        fine.reach_m /= 4;
        world.lattices.push_back(fine);
    }
    for (const Lattice& lattice : world.lattices) fill_lattice(world, lattice, random, percent);
    return world;
}

std::string decimal_degrees(std::int64_t e7) {
    char text[32];
    std::snprintf(text, sizeof text, "%s%lld.%07lld", e7 < 0 ? "-" : "",
                  static_cast<long long>(std::llabs(e7) / kE7PerDegree),
                  static_cast<long long>(std::llabs(e7) % kE7PerDegree));
    return text;
}

LatLonE7 Box::at(std::int64_t north_e7, std::int64_t east_e7) const {
    return {static_cast<std::int32_t>(south_west.lat_e7 + north_e7),
            normalised_lon_e7(south_west.lon_e7 + east_e7)};
}

std::string Box::text() const {
    const LatLonE7 north_east = at(height_e7, width_e7);
    return decimal_degrees(south_west.lon_e7) + "," + decimal_degrees(south_west.lat_e7) + "," +
           decimal_degrees(north_east.lon_e7) + "," + decimal_degrees(north_east.lat_e7);
}

LatLonE7 Box::random_site(Random& random) const {
    const auto along = [&random](std::int64_t length) {
        const std::int64_t kind = random.between(0, 9);
        return kind == 0 ? 0 : kind == 1 ? length : random.between(0, length);
    };
    return at(along(height_e7), along(width_e7));
}

Box random_box(const Lattice& lattice, Random& random) {
    const auto corners = test::positions_about(lattice, random, 2);
    Box box{corners[0], 0, 0};
    box.south_west.lat_e7 = std::min(corners[0].lat_e7, corners[1].lat_e7);
    box.height_e7 = std::max(corners[0].lat_e7, corners[1].lat_e7) - box.south_west.lat_e7;
    const std::int64_t circle = 360 * kE7PerDegree;
    box.width_e7 = (corners[1].lon_e7 - std::int64_t{corners[0].lon_e7} + circle) % circle;
    if (random.chance(70) && box.width_e7 > circle / 2) {
        box.south_west.lon_e7 = corners[1].lon_e7;
        box.width_e7 = circle - box.width_e7;
    }
    if (random.chance(10)) box.height_e7 = 0;
    if (random.chance(10)) box.width_e7 = 0;
    return box;
}

}  // namespace thirstline::test
