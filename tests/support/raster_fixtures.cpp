#include "tests/support/raster_fixtures.hpp"

#include <cpl_vsi.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <cmath>
#include <filesystem>
#include <memory>
#include <stdexcept>

namespace thirstline {
namespace {

GDALDriver& driver_named(const std::string& name) {
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName(name.c_str());
    if (driver == nullptr) throw std::runtime_error("GDAL lacks the driver " + name);
    return *driver;
}

void require(bool condition, const char* what) {
    if (!condition) throw std::runtime_error(what);
}

}  // namespace

TempFolder::TempFolder() {
    set_up_gdal();
    std::string pattern = (std::filesystem::temp_directory_path() / "thirstline-XXXXXX").string();
    if (mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no temporary folder");
    path_ = pattern;
}

TempFolder::~TempFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
}

std::string TempFolder::numbered(const std::string& stem, int number,
                                 const std::string& ending) const {
    std::string path = path_ + "/" + stem;
    path += std::to_string(number);
    path += ending;
    return path;
}

RasterShape north_up(double west, double north, double cell_deg, int columns, int rows) {
    return {columns, rows, {west, cell_deg, 0.0, north, 0.0, -cell_deg}, "EPSG:4326"};
}

void write_raster(const std::string& path, const RasterShape& shape, int bands,
                  const CellValues& values, const RasterOptions& options) {
    GDALDatasetUniquePtr memory(
        driver_named("MEM").Create("", shape.columns, shape.rows, bands, options.type, nullptr));
    require(memory != nullptr, "no raster in memory");
    std::array<double, 6> geotransform = shape.geotransform;
    if (geotransform[1] != 0.0) memory->SetGeoTransform(geotransform.data());
    if (!shape.coordinate_system.empty()) {
        OGRSpatialReference system;
        require(system.SetFromUserInput(shape.coordinate_system.c_str()) == OGRERR_NONE,
                "unknown coordinate system");
        memory->SetSpatialRef(&system);
    }
    std::vector<double> line(static_cast<std::size_t>(shape.columns));
    for (int band = 0; band < bands; ++band) {
        GDALRasterBand* raster = memory->GetRasterBand(band + 1);
        if (!std::isnan(options.missing_mark)) raster->SetNoDataValue(options.missing_mark);
        if (options.scale != 1.0) raster->SetScale(options.scale);
        if (options.offset != 0.0) raster->SetOffset(options.offset);
        if (!options.unit.empty()) raster->SetUnitType(options.unit.c_str());
        for (int row = 0; row < shape.rows; ++row) {
            for (int column = 0; column < shape.columns; ++column) {
                const double value = values(column, row, band);
                line[static_cast<std::size_t>(column)] =
                    std::isnan(value) ? options.missing_mark
                                      : (value - options.offset) / options.scale;
            }
            require(raster->RasterIO(GF_Write, 0, row, shape.columns, 1, line.data(), shape.columns,
                                     1, GDT_Float64, 0, 0, nullptr) == CE_None,
                    "cannot write in memory");
        }
    }
    std::vector<const char*> creation;
    for (const std::string& each : options.creation) creation.push_back(each.c_str());
    creation.push_back(nullptr);
    const GDALDatasetUniquePtr file(driver_named(options.driver)
                                        .CreateCopy(path.c_str(), memory.get(), FALSE,
                                                    const_cast<char**>(creation.data()), nullptr,
                                                    nullptr));
    require(file != nullptr, "cannot write the raster");
}

CellValues at_cell_centres(const RasterShape& shape, const Field& field) {
    OGRSpatialReference own;
    OGRSpatialReference degrees;
    own.SetFromUserInput(shape.coordinate_system.empty() ? "EPSG:4326"
                                                         : shape.coordinate_system.c_str());
    degrees.SetFromUserInput("EPSG:4326");
    own.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    const std::shared_ptr<OGRCoordinateTransformation> to_degrees(
        OGRCreateCoordinateTransformation(&own, &degrees));
    const std::array<double, 6> gt = shape.geotransform;
    return [to_degrees, gt, field](int column, int row, int band) {
        double x = gt[0] + (column + 0.5) * gt[1] + (row + 0.5) * gt[2];
        double y = gt[3] + (column + 0.5) * gt[4] + (row + 0.5) * gt[5];
        const bool plain = std::abs(gt[0]) <= 360.0 && std::abs(gt[3]) <= 91.0;
        if (!plain) to_degrees->Transform(1, &x, &y);
        return field(LatLon{y, x}, band);
    };
}

void write_netcdf(const std::string& path, const RasterShape& shape, int times,
                  const std::vector<NetcdfVariable>& variables, const NetcdfTimes& when) {
    const GDALDatasetUniquePtr dataset(
        driver_named("netCDF").CreateMultiDimensional(path.c_str(), nullptr, nullptr));
    require(dataset != nullptr, "cannot write netCDF");
    const std::shared_ptr<GDALGroup> root = dataset->GetRootGroup();
    const auto rows = static_cast<GUInt64>(shape.rows);
    const auto columns = static_cast<GUInt64>(shape.columns);
    const auto months = static_cast<GUInt64>(times);
    const auto time = root->CreateDimension("time", GDAL_DIM_TYPE_TEMPORAL, "", months);
    const auto lat = root->CreateDimension("lat", GDAL_DIM_TYPE_HORIZONTAL_Y, "", rows);
    const auto lon = root->CreateDimension("lon", GDAL_DIM_TYPE_HORIZONTAL_X, "", columns);
    const GDALExtendedDataType number = GDALExtendedDataType::Create(GDT_Float64);
    const auto set_text = [](GDALMDArray& array, const char* name, const std::string& text) {
        const auto attribute =
            array.CreateAttribute(name, {}, GDALExtendedDataType::CreateString());
        attribute->Write(text.c_str());
    };
    const auto write_axis = [&](const std::shared_ptr<GDALDimension>& dimension,
                                const std::string& unit, const std::vector<double>& values) {
        const auto axis = root->CreateMDArray(dimension->GetName(), {dimension}, number);
        set_text(*axis, "units", unit);
        const GUInt64 start = 0;
        const std::size_t count = dimension->GetSize();
        require(axis->Write(&start, &count, nullptr, nullptr, number, values.data()),
                "cannot write an axis");
    };
    const auto centres = [](int cells, double edge, double step) {
        std::vector<double> values;
        for (int cell = 0; cell < cells; ++cell) values.push_back(edge + step * (cell + 0.5));
        return values;
    };
    const std::array<double, 6>& gt = shape.geotransform;
    write_axis(time, when.unit, when.values);
    write_axis(lat, "degrees_north", centres(shape.rows, gt[3], gt[5]));
    write_axis(lon, "degrees_east", centres(shape.columns, gt[0], gt[1]));
    for (const NetcdfVariable& variable : variables) {
        const auto array = variable.has_times
                               ? root->CreateMDArray(variable.name, {time, lat, lon}, number)
                               : root->CreateMDArray(variable.name, {lat, lon}, number);
        set_text(*array, "units", variable.unit);
        const double mark = -9999.0;
        array->SetRawNoDataValue(&mark);
        if (variable.scale != 1.0) array->SetScale(variable.scale);
        std::vector<double> raw;
        for (int month = 0; month < (variable.has_times ? times : 1); ++month) {
            for (int row = 0; row < shape.rows; ++row) {
                for (int column = 0; column < shape.columns; ++column) {
                    const double value = variable.values(column, row, month);
                    raw.push_back(std::isnan(value) ? mark : value / variable.scale);
                }
            }
        }
        const std::array<GUInt64, 3> start{0, 0, 0};
        const std::array<std::size_t, 3> count{months, rows, columns};
        const std::size_t skipped = variable.has_times ? 0 : 1;
        require(array->Write(start.data() + skipped, count.data() + skipped, nullptr, nullptr,
                             number, raw.data()),
                "cannot write a variable");
    }
}

void copy_file(const std::string& from, const std::string& to) {
    require(CPLCopyFile(to.c_str(), from.c_str()) == 0, "cannot copy");
}

double linear_tmax_c(LatLon at, int month) {
    return 20.0 - 0.4 * (at.lat_deg - 45.0) + 0.2 * (at.lon_deg - 10.0) + 0.5 * month;
}

GridSpec spec_of(Variable variable, std::string_view unit, const std::string& path) {
    GridSpec spec;
    spec.name = "Merrow valley";
    spec.variable = variable;
    spec.path = path;
    spec.unit = std::string(unit);
    spec.where = "recipe.toml:12";
    return spec;
}

GridSpec tmax_spec(const std::string& path) {
    return spec_of(Variable::tmax, "degC", path);
}

std::unique_ptr<Grid> opened(const GridSpec& spec) {
    Result<std::unique_ptr<Grid>> grid = Grid::open(spec);
    if (!grid) {
        ADD_FAILURE() << grid.error().message;
        throw std::runtime_error(grid.error().message);
    }
    return std::move(*grid);
}

Error open_error(const GridSpec& spec) {
    const Result<std::unique_ptr<Grid>> grid = Grid::open(spec);
    if (!grid) return grid.error();
    ADD_FAILURE() << spec.path << " was accepted";
    return {};
}

GridSample sample_at(Grid& grid, LatLon at) {
    const Placement placement = grid.place(PointBlock{{at.lat_deg}, {at.lon_deg}});
    const Result<GridWindow> window = grid.read(placement);
    if (!window) {
        ADD_FAILURE() << window.error().message;
        return {};
    }
    return window->sample(placement, 0, 0);
}

}  // namespace thirstline
