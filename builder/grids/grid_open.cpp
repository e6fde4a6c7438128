#include <algorithm>
#include <cstdint>
#include <set>
#include <utility>

#include "builder/grids/file_units.hpp"
#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/grid.hpp"
#include "builder/grids/grid_bands.hpp"
#include "builder/grids/month_pattern.hpp"
#include "builder/grids/netcdf_months.hpp"
#include "builder/grids/raster_geometry.hpp"

namespace thirstline {
namespace {

Result<std::vector<GDALDatasetUniquePtr>> open_twelve_files(const GridSpec& spec) {
    std::vector<GDALDatasetUniquePtr> datasets;
    std::string missing_months;
    Error first_missing;
    for (int month = 0; month < kMonths; ++month) {
        Result<GDALDatasetUniquePtr> dataset = open_dataset(spec, with_month(spec.path, month), 1);
        if (!dataset && dataset.error().code != ErrorCode::io) return fail(dataset.error());
        if (dataset) {
            datasets.push_back(std::move(*dataset));
            continue;
        }
        if (missing_months.empty()) {
            first_missing = dataset.error();
        } else {
            missing_months += ", ";
        }
        missing_months += kMonthNames[static_cast<std::size_t>(month)];
    }
    if (datasets.empty()) return fail(first_missing);
    if (!missing_months.empty()) {
        return fail(ErrorCode::bad_input,
                    about_grid(spec, "there is no file for " + missing_months + " at " + spec.path),
                    first_missing.message);
    }
    return datasets;
}

void add_files_of(GDALDataset& dataset, const std::string& fallback,
                  std::vector<std::string>& files) {
    std::set<std::string> sorted;
    char** list = dataset.GetFileList();
    for (char** file = list; file != nullptr && *file != nullptr; ++file) sorted.insert(*file);
    CSLDestroy(list);
    if (sorted.empty()) sorted.insert(fallback);
    for (const std::string& file : sorted)
        if (std::find(files.begin(), files.end(), file) == files.end()) files.push_back(file);
}

std::string unit_in_file(GDALRasterBand& band) {
    std::string unit = band.GetUnitType();
    if (!unit.empty()) return unit;
    const char* item = band.GetMetadataItem("units");
    return item == nullptr ? std::string() : std::string(item);
}

}  // namespace

MissingMarks::MissingMarks(GDALRasterBand& band) {
    const GDALDataType type = band.GetRasterDataType();
    is_float32_ = type == GDT_Float32;
    int has_mark = FALSE;
    if (type == GDT_Int64) {
        const std::int64_t mark = band.GetNoDataValueAsInt64(&has_mark);
        if (has_mark != FALSE) add(static_cast<double>(mark));
    } else if (type == GDT_UInt64) {
        const std::uint64_t mark = band.GetNoDataValueAsUInt64(&has_mark);
        if (has_mark != FALSE) add(static_cast<double>(mark));
    } else {
        const double mark = band.GetNoDataValue(&has_mark);
        if (has_mark != FALSE) add(mark);
    }
    // netCDF has two attributes for it, and GDAL passes on only one.
    for (const char* name : {"missing_value", "_FillValue"}) {
        const char* text = band.GetMetadataItem(name);
        if (text != nullptr) add(CPLAtof(text));
    }
}

void MissingMarks::add(double mark) {
    if (is_float32_ && std::isfinite(mark)) {
        // The numbers possible in the file: -3.4e38 in text differs slightly from that float.
        constexpr double kGreatest = std::numeric_limits<float>::max();
        mark = static_cast<double>(static_cast<float>(std::clamp(mark, -kGreatest, kGreatest)));
    }
    if (!std::isnan(mark)) marks_.push_back(mark);
}

Grid::Grid() : bands_(std::make_unique<Bands>()) {}
Grid::~Grid() = default;

Result<std::unique_ptr<Grid>> Grid::open(const GridSpec& spec) {
    Result<UnitConversion> conversion = unit_conversion(spec.variable, spec.unit);
    if (!conversion) {
        return fail(conversion.error().code, about_grid(spec, conversion.error().message),
                    conversion.error().hint);
    }
    std::unique_ptr<Grid> grid(new Grid);
    grid->spec_ = spec;
    grid->conversion_ = *conversion;
    for (double& factor : grid->conversion_.factor) factor *= spec.scale;
    if (Result<void> opened = grid->open_bands(); !opened) return fail(opened.error());
    return grid;
}

Result<void> Grid::open_bands() {
    const GdalMessages messages;
    std::vector<GDALDatasetUniquePtr>& datasets = bands_->datasets;
    const bool in_twelve_files =
        spec_.variable != Variable::elevation && has_month_pattern(spec_.path);
    if (in_twelve_files) {
        Result<std::vector<GDALDatasetUniquePtr>> opened = open_twelve_files(spec_);
        if (!opened) return fail(opened.error());
        datasets = std::move(*opened);
    } else {
        Result<GDALDatasetUniquePtr> opened = open_dataset(spec_, spec_.path, bands_needed(spec_));
        if (!opened) return fail(opened.error());
        datasets.push_back(std::move(*opened));
        if (bands_needed(spec_) == kMonths) {
            if (const auto trouble = trouble_with_months(*datasets.front())) {
                return fail(
                    ErrorCode::bad_input,
                    about_grid(spec_,
                               spec_.path + " does not run from January to December: " + *trouble));
            }
        }
    }

    for (std::size_t i = 0; i < datasets.size(); ++i) {
        const std::string path =
            in_twelve_files ? with_month(spec_.path, static_cast<int>(i)) : spec_.path;
        Result<std::shared_ptr<const RasterGeometry>> geometry =
            RasterGeometry::of(*datasets[i], about_grid(spec_, path), warnings_);
        if (!geometry) return fail(geometry.error());
        if (i == 0) {
            geometry_ = *geometry;
        } else if (!geometry_->same_as(**geometry)) {
            return fail(ErrorCode::bad_input,
                        about_grid(spec_, path + " has other cells than the file for January: "
                                                 "the twelve must be of one size and place"));
        }
        add_files_of(*datasets[i], path, files_);
        for (int band = 1; band <= datasets[i]->GetRasterCount(); ++band) {
            GDALRasterBand* raster = datasets[i]->GetRasterBand(band);
            const int mask = raster->GetMaskFlags();
            bands_->months.push_back({raster, raster->GetScale(), raster->GetOffset(),
                                      MissingMarks(*raster),
                                      (mask & (GMF_ALL_VALID | GMF_NODATA | GMF_ALPHA)) == 0});
        }
    }

    std::set<std::string> units;
    for (const MonthBand& month : bands_->months) units.insert(unit_in_file(*month.band));
    for (const std::string& unit : units) {
        if (unit.empty()) continue;
        switch (compare_file_unit(spec_.variable, spec_.unit, unit)) {
            case FileUnit::agrees:
                break;
            case FileUnit::unreadable:
                warnings_.push_back(
                    about_grid(spec_, spec_.path + " gives its unit as \"" + unit +
                                          "\", which cannot be read; the recipe's \"" + spec_.unit +
                                          "\" is taken"));
                break;
            case FileUnit::contradicts:
                return fail(
                    ErrorCode::bad_input,
                    about_grid(spec_, spec_.path + " gives its unit as \"" + unit +
                                          "\", which is not the recipe's unit = \"" + spec_.unit +
                                          "\": correct the one that is wrong"));
        }
    }
    return {};
}

}  // namespace thirstline
