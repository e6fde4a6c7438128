// Inputs of the builder: recipes, tables of stations, regions, evaluations.
#include <cpl_vsi.h>

#include <algorithm>
#include <memory>
#include <string>

#include "builder/export/region_polygons.hpp"
#include "builder/grids/grid.hpp"
#include "builder/publish/report_evaluation.hpp"
#include "builder/recipe/recipe.hpp"
#include "builder/stations/station_set.hpp"
#include "tests/fuzz/fuzz_targets.hpp"
#include "tests/fuzz/memory_file.hpp"

namespace thirstline::fuzz {

namespace {

/// A file in GDAL's memory file system.
class GdalFile {
  public:
    GdalFile(const char* path, Bytes bytes) : path_(path), bytes_(bytes.begin(), bytes.end()) {
        VSIFCloseL(VSIFileFromMemBuffer(path, bytes_.data(), bytes_.size(), FALSE));
    }
    ~GdalFile() { VSIUnlink(path_); }
    GdalFile(const GdalFile&) = delete;
    GdalFile& operator=(const GdalFile&) = delete;

  private:
    const char* path_;
    std::vector<GByte> bytes_;
};

void set_up_once() {
    static const bool is_done = [] {
        set_up_gdal();
        return true;
    }();
    (void)is_done;
}

StationRecipe station_recipe(const char* path) {
    StationRecipe recipe;
    recipe.terms.name = "stations";
    recipe.path = path;
    recipe.where = "recipe.toml:1";
    recipe.layout = StationLayout::by_month;
    recipe.missing = {-99.9};
    recipe.station_column = "station";
    recipe.name_column = "name";
    recipe.country_column = "country";
    recipe.lat_column = "lat";
    recipe.lon_column = "lon";
    recipe.elevation_column = "elevation";
    recipe.month_column = "month";
    const auto add = [&recipe](Variable variable, const char* unit, const char* column) {
        StationVariable& added = recipe.variables.emplace_back();
        added.variable = variable;
        added.unit = unit;
        added.column = column;
    };
    add(Variable::tmax, "degC", "tmax");
    add(Variable::tmin, "degC", "tmin");
    add(Variable::rain, "mm", "rain");
    return recipe;
}

}  // namespace

void recipe(Bytes bytes) {
    const MemoryFile file(bytes);
    const auto read = read_recipe(file.path());
    if (!read) return require(!read.error().message.empty());
    require(read->lattice.rows >= 1 && read->lattice.columns >= 1);
}

void station_table(Bytes bytes) {
    set_up_once();
    constexpr const char* kPath = "/vsimem/stations.csv";
    const GdalFile file(kPath, bytes);
    Recipe recipe;
    recipe.stations.push_back(station_recipe(kPath));
    (void)read_station_sources(recipe);
}

void region(Bytes bytes) {
    set_up_once();
    constexpr const char* kPath = "/vsimem/region.geojson";
    const GdalFile file(kPath, bytes);
    const auto polygons = RegionPolygons::read(kPath);
    if (!polygons) return require(!polygons.error().message.empty());
    const LatLonBox& box = polygons->bounds();
    require(box.south <= box.north && box.width >= 0);
    (void)polygons->holds({450'000'000, 100'000'000});
    (void)polygons->touches(box);
}

void evaluation(Bytes bytes) {
    const MemoryFile file(bytes);
    const auto read = read_evaluation(file.path());
    if (!read) return require(!read.error().message.empty());
    (void)evaluation_html(*read);
}

}  // namespace thirstline::fuzz
