// A recipe: the inputs and settings of a build. Read from TOML, and checked in full before anything
// else is read.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "builder/grids/variables_and_units.hpp"
#include "builder/inputs/table_format.hpp"
#include "builder/recipe/source_terms.hpp"
#include "builder/recipe/station_recipe.hpp"
#include "builder/recipe/used_region.hpp"
#include "builder/reference_et/monthly_reference_et.hpp"
#include "builder/reference_et/penman_monteith.hpp"
#include "schema/base/result.hpp"
#include "schema/database/edition.hpp"
#include "schema/geo/lattice.hpp"

namespace thirstline {

struct GridRecipe {
    SourceTerms terms;
    Variable variable = Variable::tmax;
    std::string path;  ///< for GDAL; relative paths are prefixed with the recipe's folder. Months
                       ///< of several years become their means over the years of the period
    std::string unit;
    /// For a file that states no scale and offset of its own, or wrong ones: the number in `unit`
    /// is the file's · scale + offset.
    std::optional<double> scale;
    std::optional<double> offset;
    bool is_scale_of_file_wrong = false;  ///< the file's own scale and offset are not used
    bool is_unit_of_file_wrong = false;   ///< the unit stated in the file is not compared with ours
    std::string netcdf_variable;
    double height_m = 10.0;    ///< of wind and its components only
    double wind_factor = 1.0;  ///< likewise: factor for the wind, 0.2 to 2
    ReferenceSurface eto_reference = ReferenceSurface::short_reference;  ///< eto only
    std::string eto_equation;                                            ///< eto only
    std::string where;                                                   ///< "merrow.toml:34"
};

struct ElevationRecipe {
    SourceTerms terms;  ///< may be empty; without a period
    std::string path;
    std::string unit;
    bool is_unit_of_file_wrong = false;
    std::string where;
};

enum class PostalLayout { csv, geonames, census_gazetteer };

struct PostalRecipe {
    SourceTerms terms;    ///< may be empty; without a period
    std::string country;  ///< two letters; of all rows, or of rows without one
    std::string path;
    PostalLayout layout = PostalLayout::csv;
    TableFormat format;       ///< csv only
    std::string code_column;  ///< csv only, also those below
    std::string lat_column;
    std::string lon_column;
    std::string place_column;    ///< may be empty
    std::string country_column;  ///< may be empty
    std::string where;
};

/// A point's period is stored as the set of its sources' periods, in eight bits.
inline constexpr std::size_t kMaxPeriods = 7;

/// Points along the side of a tile. A plain tile is read as a whole, so it is small. Of a compact
/// one, a look-up decodes a block of 8 x 8 points regardless of the tile's size, and data stored
/// once per tile cost less over more points: 16 makes the smallest files.
inline constexpr int kPlainTileEdge = 8;
inline constexpr int kCompactTileEdge = 16;

struct Recipe {
    std::string path;
    std::string text;         ///< of the file
    std::string data_folder;  ///< what "{data}" in a path means
    std::string title;
    std::string region;
    std::string publisher;
    std::string notice;
    Edition edition;
    ReferenceSurface reference = ReferenceSurface::short_reference;
    bool site_correction = true;
    SoilHeat soil_heat = SoilHeat::none;
    std::string period;
    Lattice lattice;                              ///< with its reach_m and tile_edge
    double station_margin_km = kStationMarginKm;  ///< see used_region.hpp
    std::optional<ElevationRecipe> elevation;
    bool temperature_layers = true;
    bool year_layers = false;    ///< wet and dry years, from records
    bool compact_tiles = false;  ///< codec 1; else codec 0, which SQL alone can decode
    std::vector<GridRecipe> grids;
    std::vector<StationRecipe> stations;  ///< of [[stations]], then of [[records]]
    std::vector<PostalRecipe> postal;
};

/// The recipe's options for computing reference ET.
[[nodiscard]] inline EtOptions et_options_of(const Recipe& recipe) {
    return {recipe.reference, recipe.site_correction, recipe.soil_heat};
}

/// "none" or "monthly", as in recipes and files.
[[nodiscard]] inline std::string soil_heat_name(SoilHeat soil_heat) {
    return soil_heat == SoilHeat::monthly ? "monthly" : "none";
}

/// "{data}" in a path: the folder of what `thirstline-builder fetch` downloads.
inline constexpr std::string_view kDataFolderMark = "{data}";

/// The folder beside the recipe, with its name: "a/merrow.data" for "a/merrow.toml".
[[nodiscard]] std::string default_data_folder(const std::string& recipe_path);

/// `data_folder` is what "{data}" means; empty: default_data_folder.
/// Errors: io if the file cannot be read; bad_input for everything else, with file and line: not
/// TOML, an unknown key (with the nearest known one), a missing key, a value out of its range; all
/// faults in the order of their lines, one a line.
[[nodiscard]] Result<Recipe> read_recipe(const std::string& path,
                                         const std::string& data_folder = {});

/// A path in a recipe, resolved relative to the recipe's folder: "/vsizip/wind.zip/x.asc" in
/// "a/r.toml" is "/vsizip/a/wind.zip/x.asc". Absolute paths and network addresses are unchanged.
[[nodiscard]] std::string resolved_path(const std::string& recipe_path, const std::string& path);
/// The same, with "{data}" replaced by the recipe's data folder.
[[nodiscard]] std::string resolved_path(const Recipe& recipe, const std::string& path);

}  // namespace thirstline
