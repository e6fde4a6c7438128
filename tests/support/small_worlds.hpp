// Small random worlds for the tests of schema/: lattices with tiles in memory, the same written to
// a file, and temporary folders. All random numbers come from a Random whose seed is printed.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "schema/answer/answer.hpp"
#include "schema/database/database.hpp"
#include "schema/geo/lattice.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline::test {

/// Numbers that are the same with every standard library (std::uniform_int_distribution's are not).
class Random {
  public:
    explicit Random(std::uint32_t seed) : engine_(seed) {}
    /// Between the two, inclusive.
    std::int64_t between(std::int64_t least, std::int64_t greatest) {
        const auto span = static_cast<std::uint64_t>(greatest - least) + 1;
        const std::uint64_t drawn = (std::uint64_t{engine_()} << 32) | engine_();
        return least + static_cast<std::int64_t>(drawn % span);
    }
    bool chance(int percent) { return between(1, 100) <= percent; }

  private:
    std::mt19937 engine_;
};

/// A folder for one test, removed with everything in it.
class TemporaryFolder {
  public:
    TemporaryFolder();
    ~TemporaryFolder();
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    [[nodiscard]] std::string path(const std::string& name) const { return path_ + "/" + name; }
    [[nodiscard]] std::vector<std::string> names() const;

  private:
    std::string path_;
};

[[nodiscard]] std::string bytes_of_file(const std::string& path);
void write_bytes(const std::string& path, const std::string& bytes);

/// A command's standard output; nothing if it fails.
[[nodiscard]] std::optional<std::string> output_of(const std::string& command);

struct World {
    TileLayout layout;
    std::vector<Lattice> lattices;
    std::map<std::int64_t, std::shared_ptr<const Tile>> tiles;  ///< by key

    [[nodiscard]] const Tile* tile_at(const Lattice& lattice, LatticePoint point) const;
    [[nodiscard]] bool has_data(const Lattice& lattice, LatticePoint point) const;
    /// Creates the tile if necessary; it must not be shared yet.
    Tile& made_tile(const Lattice& lattice, LatticePoint point);
};

/// A world as a source of tiles.
class WorldTiles final : public TileSource {
  public:
    explicit WorldTiles(const World& world) : world_(world) {}
    [[nodiscard]] Result<std::shared_ptr<const Tile>> tile(const Lattice& lattice,
                                                           TileAddress address) override;

  private:
    const World& world_;
};

/// All layers of this version, or only those with the given ids.
[[nodiscard]] TileLayout layout_of(int edge, const std::vector<LayerId>& ids = {});

/// Integers anywhere in each layer's range, some missing; `percent` of the points have data.
[[nodiscard]] Tile random_tile(const TileLayout& layout, Random& random, int percent);

/// Fills a lattice with points: methods in use, periods 0 to 2, the rest anywhere in range. Points
/// of a row at a pole have the same values.
void fill_lattice(World& world, const Lattice& lattice, Random& random, int percent);

/// The four different sorts of lattice: a plain box, one that crosses the antimeridian, one that
/// forms a full circle, and one that also includes both poles.
enum class Sort { box, crossing, closing, whole };
[[nodiscard]] Lattice random_lattice(Sort sort, int id, int edge, Random& random);
[[nodiscard]] Lattice lattice_of(std::int32_t west, std::int32_t south, std::int32_t spacing,
                                 std::int32_t columns, std::int32_t rows, int edge);

/// Positions over and around a lattice: anywhere, on points, on cell edges, at poles and ±180°.
[[nodiscard]] std::vector<LatLonE7> positions_about(const Lattice& lattice, Random& random,
                                                    int count);

/// Writes the world with metadata, a source, periods, methods and postal codes of the Merrow
/// valley.
[[nodiscard]] Result<std::int64_t> write_world(const World& world, const std::string& path);

}  // namespace thirstline::test
