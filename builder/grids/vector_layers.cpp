#include "builder/grids/vector_layers.hpp"

#include "builder/grids/pipe_check.hpp"

namespace thirstline {

OGRSpatialReference longitude_latitude() {
    OGRSpatialReference wgs84;
    wgs84.importFromEPSG(4326);
    wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return wgs84;
}

Result<GDALDatasetUniquePtr> opened_vector_file(const std::string& path, const std::string& what) {
    TRY(refuse_pipe(path, ""));
    GDALDatasetUniquePtr file(GDALDataset::Open(path.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY));
    if (file) return file;
    VSIStatBufL status;
    const bool is_there = VSIStatL(path.c_str(), &status) == 0;
    return fail(
        is_there ? ErrorCode::bad_input : ErrorCode::io,
        is_there ? what + " " + path + " is not in a supported format"
                 : "cannot open " + what + " " + path,
        is_there ? "use a vector format that GDAL reads, such as GeoJSON or GeoPackage" : "");
}

Result<Transformation> to_longitude_latitude(GDALDataset& file, OGRLayer& layer,
                                             const std::string& path) {
    const OGRSpatialReference target = longitude_latitude();
    const OGRSpatialReference* system = layer.GetSpatialRef();
    if (system == nullptr && std::string_view(file.GetDriverName()) == "TopoJSON") system = &target;
    if (system == nullptr) {
        return fail(
            ErrorCode::bad_input,
            "layer " + std::string(layer.GetName()) + " of " + path + " has no coordinate system",
            "add one, such as EPSG:4326 for longitude and latitude");
    }
    Transformation made(OGRCreateCoordinateTransformation(system, &target));
    if (!made) {
        return fail(ErrorCode::bad_input, "the coordinate system of " + path +
                                              " cannot be converted to latitude and longitude");
    }
    return made;
}

}  // namespace thirstline
