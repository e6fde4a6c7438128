// The grids of a recipe, opened and checked: all checks that are possible before the first block is
// read.
//
// Thread safety: belongs to the reader thread; the plain accessors may be used from any.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

#include "builder/background/source_comparison.hpp"
#include "builder/grids/grid.hpp"
#include "builder/recipe/recipe.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

struct SourceGrid {
    const GridRecipe* recipe = nullptr;
    std::unique_ptr<Grid> grid;
    CellOwnership ownership;
    std::size_t geometry = 0;  ///< grids of the same number share their cells' places
};

struct SourceGrids {
    std::vector<SourceGrid> grids;               ///< in the order of the recipe
    std::unique_ptr<Grid> elevation;             ///< null if the recipe has none
    std::vector<std::size_t> first_of_geometry;  ///< index of one grid for each geometry
    std::vector<bool> geometry_needs_elevation;
    std::vector<std::string> warnings;
};

/// Opens every grid of the recipe, which must outlive the result. Sets GDAL's block cache to the
/// size that the files' own blocks need, within 32 to 256 MB.
/// Errors: io if a file does not exist; bad_input if it does not match the recipe, does not touch
/// the lattice, or has a unit that cannot be right.
[[nodiscard]] Result<SourceGrids> open_source_grids(const Recipe& recipe);

/// The grid in messages.
[[nodiscard]] NamedSource named_source(const SourceGrid& source);

/// Name and SHA-256 of a file in any of GDAL's virtual file systems. `where` begins an error (io).
[[nodiscard]] Result<SourceFile> hashed_file(const std::string& path, const std::string& where);

}  // namespace thirstline
