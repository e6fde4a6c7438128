#include "builder/background/source_grids.hpp"

#include <cpl_vsi.h>
#include <gdal.h>

#include <algorithm>
#include <filesystem>
#include <limits>

#include "builder/background/point_assembly.hpp"
#include "builder/grids/gdal_messages.hpp"
#include "builder/reference_et/wind.hpp"
#include "schema/base/sha256.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kMaxGrids = std::numeric_limits<std::int8_t>::max();
constexpr std::int64_t kMinCacheBytes = std::int64_t{32} << 20;
constexpr std::int64_t kGreatestCacheBytes = std::int64_t{256} << 20;

GridSpec spec_of(const GridRecipe& recipe) {
    GridSpec spec;
    spec.name = recipe.terms.name;
    spec.variable = recipe.variable;
    spec.path = recipe.path;
    spec.years = year_range_of(recipe.terms.period);
    spec.unit = recipe.unit;
    spec.scale = recipe.scale;
    spec.offset = recipe.offset;
    spec.is_scale_of_file_wrong = recipe.is_scale_of_file_wrong;
    spec.is_unit_of_file_wrong = recipe.is_unit_of_file_wrong;
    spec.netcdf_variable = recipe.netcdf_variable;
    spec.where = recipe.where;
    if (is_wind(recipe.variable))
        spec.value_factor = wind_at_two_metres_m_per_s(recipe.wind_factor, recipe.height_m);
    return spec;
}

GridSpec spec_of(const ElevationRecipe& recipe) {
    GridSpec spec;
    spec.name = "elevation";
    spec.variable = Variable::elevation;
    spec.path = recipe.path;
    spec.unit = recipe.unit;
    spec.is_unit_of_file_wrong = recipe.is_unit_of_file_wrong;
    spec.where = recipe.where;
    return spec;
}

bool touches_lattice(const Grid& grid, const Lattice& lattice) {
    const double degree = kArcsecPerDegree;
    const double spacing = lattice.spacing_arcsec / degree;
    const double west = lattice.west_arcsec / degree;
    const double south = lattice.south_arcsec / degree;
    return grid.touches(west, south, west + (lattice.columns - 1) * spacing,
                        south + (lattice.rows - 1) * spacing);
}

std::string warning_of_components(const GridRecipe& recipe) {
    return recipe.where +
           ": the speed computed from the mean components wind_u and wind_v is below "
           "the mean wind speed wherever the wind changes its direction; a grid of wind is better";
}

Result<std::unique_ptr<Grid>> opened(const GridSpec& spec, const Lattice& lattice) {
    auto grid = Grid::open(spec);
    if (!grid) return grid;
    if (!touches_lattice(**grid, lattice)) {
        return fail(ErrorCode::bad_input,
                    spec.where + ": the grid \"" + spec.name + "\" does not touch the lattice",
                    "compare [lattice] bbox with the grid's own extent; longitude comes first "
                    "there: W, S, E, N");
    }
    TRY((*grid)->check_unit_plausible());
    return grid;
}

void group_by_geometry(SourceGrids& sources) {
    for (std::size_t g = 0; g < sources.grids.size(); ++g) {
        SourceGrid& source = sources.grids[g];
        source.geometry = sources.first_of_geometry.size();
        for (std::size_t known = 0; known < sources.first_of_geometry.size(); ++known) {
            const Grid& first = *sources.grids[sources.first_of_geometry[known]].grid;
            if (!same_geometry(first, *source.grid)) continue;
            source.geometry = known;
            break;
        }
        if (source.geometry == sources.first_of_geometry.size()) {
            sources.first_of_geometry.push_back(g);
            sources.geometry_needs_elevation.push_back(false);
        }
        if (sources.elevation && is_adjusted(source.recipe->variable))
            sources.geometry_needs_elevation[source.geometry] = true;
    }
}

}  // namespace

Result<SourceGrids> open_source_grids(const Recipe& recipe) {
    SourceGrids sources;
    if (recipe.grids.size() > kMaxGrids)
        return fail(ErrorCode::bad_input, recipe.path + ": a recipe may have at most 127 grids");
    std::int64_t cache_bytes = 0;
    const auto noted = [&](const Grid& grid) {
        cache_bytes += grid.block_row_bytes();
        const auto& warnings = grid.warnings();
        sources.warnings.insert(sources.warnings.end(), warnings.begin(), warnings.end());
    };
    if (recipe.elevation) {
        auto elevation = TRY(opened(spec_of(*recipe.elevation), recipe.lattice));
        noted(*elevation);
        sources.elevation = std::move(elevation);
    }
    for (const GridRecipe& grid_recipe : recipe.grids) {
        auto grid = TRY(opened(spec_of(grid_recipe), recipe.lattice));
        noted(*grid);
        if (grid_recipe.variable == Variable::wind_u)
            sources.warnings.push_back(warning_of_components(grid_recipe));
        CellOwnership ownership = grid->ownership(recipe.lattice);
        sources.grids.push_back({&grid_recipe, std::move(grid), std::move(ownership), 0});
    }
    group_by_geometry(sources);
    GDALSetCacheMax64(std::clamp(cache_bytes * 5 / 4, kMinCacheBytes, kGreatestCacheBytes));
    return sources;
}

NamedSource named_source(const SourceGrid& source) {
    NamedSource named{source.recipe->where, "grid", source.recipe->terms.name};
    named.scale = source.grid->scale();
    named.offset = source.grid->offset();
    named.is_scale_of_file = source.grid->is_scale_of_file();
    return named;
}

Result<SourceFile> hashed_file(const std::string& path, const std::string& where) {
    const GdalMessages messages;
    const std::unique_ptr<VSILFILE, int (*)(VSILFILE*)> file(VSIFOpenL(path.c_str(), "rb"),
                                                             &VSIFCloseL);
    if (!file)
        return fail(ErrorCode::io, where + ": cannot read " + path + " to make its checksum");
    std::vector<std::uint8_t> buffer(std::size_t{1} << 18);
    Sha256 hash;
    while (const std::size_t got = VSIFReadL(buffer.data(), 1, buffer.size(), file.get()))
        hash.add(std::span(buffer.data(), got));
    if (!messages.first_failure().empty()) {
        return fail(ErrorCode::bad_input,
                    where + ": " + path + " is damaged and cannot be read to its end");
    }
    return SourceFile{std::filesystem::path(path).filename().string(), hash.hex_digest()};
}

}  // namespace thirstline
