// The tiles of an embedded image: smaller than a database's, so that firmware decodes one in little
// memory, and in parts, so that it reads only the requested layers.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <vector>

#include "builder/export/export_job.hpp"
#include "builder/export/image_bytes.hpp"
#include "schema/base/result.hpp"
#include "schema/geo/lattice.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

inline constexpr int kImageTileEdge = 6;
inline constexpr std::size_t kImageParts = 4;

/// The part of an image that contains a layer; nothing if images do not contain it.
[[nodiscard]] std::optional<std::size_t> image_part_of(LayerId id);

/// The layers of each part, in the form in which the image's tiles are coded.
using ImageLayouts = std::array<TileLayout, kImageParts>;
[[nodiscard]] ImageLayouts image_layouts(const std::vector<Layer>& variables);

/// A lattice of an image: the smallest that contains all points and gives the same answers.
struct ImageLattice {
    Lattice source;
    Lattice image;                        ///< of tile_edge kImageTileEdge
    int first_row = 0, first_column = 0;  ///< of the image's in the source's
};

/// `window` must have at least one point.
[[nodiscard]] ImageLattice image_lattice_of(const Lattice& source, const LatticeWindow& window);

/// Makes the image's tiles from the database's, one row of tiles at a time, from the south.
class ImageTiles {
  public:
    ImageTiles(const ExportJob& job, const ImageLattice& lattice, const ImageLayouts& layouts)
        : job_(job), lattice_(lattice), layouts_(layouts) {}

    /// By tile column, from the lattice's first: each part's tile; empty where there is no point.
    using Row = std::vector<std::array<ImageBytes, kImageParts>>;
    /// Rows must be requested in ascending order. Errors: those of SelectedTiles::row.
    [[nodiscard]] Result<Row> row(int tile_row);

  private:
    [[nodiscard]] Result<void> read_source_rows(int tile_row);
    [[nodiscard]] const Tile* source_tile(TileAddress address) const;
    [[nodiscard]] std::array<ImageBytes, kImageParts> coded(TileAddress address) const;

    const ExportJob& job_;
    const ImageLattice& lattice_;
    const ImageLayouts& layouts_;
    /// The current tiles of the database, by row, then column.
    std::map<int, std::map<int, Tile>> source_rows_;
};

}  // namespace thirstline
