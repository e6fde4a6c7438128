// Inputs of the builder: recipes, regions, evaluations.

#include "builder/export/region_polygons.hpp"
#include "builder/publish/report_evaluation.hpp"
#include "builder/recipe/recipe.hpp"
#include "tests/fuzz/fuzz_targets.hpp"
#include "tests/fuzz/gdal_file.hpp"
#include "tests/fuzz/memory_file.hpp"

namespace thirstline::fuzz {

void recipe(Bytes bytes) {
    const MemoryFile file(bytes);
    const auto read = read_recipe(file.path());
    if (!read) return require(!read.error().message.empty());
    require(read->lattice.rows >= 1 && read->lattice.columns >= 1);
}

void region(Bytes bytes) {
    set_up_gdal_once();
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
