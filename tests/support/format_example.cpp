#include "tests/support/format_example.hpp"

#include <stdexcept>

#include "schema/database/database_writer.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline::test {

World format_example() {
    using enum LayerId;
    World world;
    world.layout = layout_of(2, {eto, rain, elevation, eto_gradient, rain_gradient});
    Lattice lattice = lattice_of(-444'600, 158'400, 900, 2, 2, 2);
    lattice.name = "example";
    lattice.reach_m = 50'000;
    world.lattices = {lattice};
    Tile& tile = world.made_tile(lattice, {0, 0});
    for (std::int32_t slot = 0; slot < 3; ++slot) {
        const auto s = static_cast<std::size_t>(slot);
        tile.present[s] = 1;
        tile.of(elevation)[s] = 120 + 140 * slot;
        for (std::int32_t month = 0; month < kMonths; ++month) {
            const std::size_t index = s * kMonths + static_cast<std::size_t>(month);
            tile.of(eto)[index] = 60 + 40 * std::min(month, 12 - month) + 25 * slot;
            tile.of(rain)[index] = 180 - 25 * std::min(month, 12 - month) + 7 * slot;
        }
    }
    tile.of(rain)[kMonths + 11] = kMissingValue;
    tile.of(eto_gradient).assign(kMonths, -150);
    tile.of(rain_gradient).assign(kMonths, 200);
    return world;
}

void write_format_example(const std::string& path, const std::vector<PostalPlace>& places) {
    const World world = format_example();
    auto writer = DatabaseWriter::create(path, world.layout);
    const auto expect = [](const auto& result) {
        if (!result) throw std::runtime_error(result.error().message);
    };
    expect(writer);
    expect((*writer)->add_metadata("title", "Example"));
    expect((*writer)->add_metadata("notice", "Local rules come first."));
    expect((*writer)->add_lattice(world.lattices[0]));
    for (const auto& [key, tile] : world.tiles)
        expect(
            (*writer)->add_tile(key, kCodecPlain, *encode_tile(kCodecPlain, world.layout, *tile)));
    for (const PostalPlace& place : places) expect((*writer)->add_postal_place(place));
    expect((*writer)->finish());
}

}  // namespace thirstline::test
