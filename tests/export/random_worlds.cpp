#include "tests/export/random_worlds.hpp"

#include <algorithm>

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

}  // namespace thirstline::test
