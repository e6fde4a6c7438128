// Changes of an image's values with elevation: of squares of points, as the database has them.
#pragma once

#include <cstdint>
#include <vector>

#include "builder/export/image_bytes.hpp"
#include "builder/export/image_tiles.hpp"

namespace thirstline {

/// The database's gradients of the layers that the image holds, by ascending id.
[[nodiscard]] std::vector<Layer> image_gradients(const TileLayout& source,
                                                 const ImageLayouts& layouts);

/// Twelve values of each layer for every square of a lattice, row by row from the south-west.
struct ImageSquares {
    int edge =
        0;  ///< points along a square's side: the database's tiles, or up to 16 if these agree
    int rows_before = 0, columns_before = 0;  ///< of the first square, outside the lattice
    std::size_t count = 0;
    std::vector<std::int32_t> values;
};

/// Reads all tiles once. Errors: those of SelectedTiles::row.
[[nodiscard]] Result<ImageSquares> image_squares(const ExportJob& job, const ImageLattice& lattice,
                                                 const std::vector<Layer>& gradients);

/// The section of an image: its head, then the squares of each lattice. `offset` is where it
/// begins.
[[nodiscard]] ImageBytes image_gradient_section(const std::vector<Layer>& gradients,
                                                const std::vector<ImageSquares>& lattices,
                                                std::uint64_t offset);
[[nodiscard]] std::uint64_t image_gradient_bytes(const std::vector<Layer>& gradients,
                                                 const std::vector<ImageSquares>& lattices);

}  // namespace thirstline
