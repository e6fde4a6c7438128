#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <set>
#include <utility>

#include "builder/grids/band_times.hpp"
#include "builder/grids/file_units.hpp"
#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/grid.hpp"
#include "builder/grids/grid_bands.hpp"
#include "builder/grids/month_pattern.hpp"
#include "builder/grids/raster_geometry.hpp"
#include "builder/grids/twelve_months.hpp"

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

/// Enough digits for any scale that a person wrote.
std::string short_number(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%.9g", value);
    return text;
}

std::string unit_in_file(GDALRasterBand& band) {
    std::string unit = band.GetUnitType();
    if (!unit.empty()) return unit;
    if (const char* item = band.GetMetadataItem("units")) return item;
    // Of GRIB, "[C]" for °C, to which GDAL converts K.
    const char* in_brackets = band.GetMetadataItem("GRIB_UNIT");
    unit = in_brackets == nullptr ? "" : in_brackets;
    if (unit.size() < 3 || unit.front() != '[' || unit.back() != ']') return "";
    unit = unit.substr(1, unit.size() - 2);
    return unit == "C" ? "degC" : unit;
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

MonthBand month_band(GDALRasterBand& band) {
    return {&band, band.GetScale(), band.GetOffset(), MissingMarks(band),
            (band.GetMaskFlags() & (GMF_ALL_VALID | GMF_NODATA | GMF_ALPHA)) == 0};
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
    TRY(grid->open_bands());
    if (grid->is_mean_of_years_) return grid;
    TRY(grid->settle_scale());
    TRY(grid->check_units_of_file());
    grid->scale_ = grid->bands_->months.front().scale;
    grid->offset_ = grid->bands_->months.front().offset;
    return grid;
}

void Grid::add_files_of(GDALDataset& dataset, const std::string& fallback) {
    std::set<std::string> sorted;
    char** list = dataset.GetFileList();
    for (char** file = list; file != nullptr && *file != nullptr; ++file) sorted.insert(*file);
    CSLDestroy(list);
    if (sorted.empty()) sorted.insert(fallback);
    for (const std::string& file : sorted)
        if (std::find(files_.begin(), files_.end(), file) == files_.end()) files_.push_back(file);
}

Result<void> Grid::settle_geometry(GDALDataset& dataset, const std::string& path) {
    std::vector<std::string> doubts;
    Result<std::shared_ptr<const RasterGeometry>> geometry =
        RasterGeometry::of(dataset, about_grid(spec_, path), doubts);
    if (!geometry) return fail(geometry.error());
    // All files share a doubt: it is shown for the first of them.
    if (warnings_.empty()) warnings_ = std::move(doubts);
    if (!geometry_) {
        geometry_ = *geometry;
    } else if (!geometry_->same_as(**geometry)) {
        return fail(ErrorCode::bad_input,
                    about_grid(spec_, path + " has other cells than " + files_.front() +
                                          ": all files of a grid must have the same cells"));
    }
    return {};
}

Result<void> Grid::open_bands() {
    const GdalMessages messages;
    const bool is_monthly = spec_.variable != Variable::elevation;
    if (is_monthly && has_year_pattern(spec_.path)) return open_years();
    std::vector<GDALDatasetUniquePtr>& datasets = bands_->datasets;
    const bool in_twelve_files = is_monthly && has_month_pattern(spec_.path);
    if (in_twelve_files) {
        Result<std::vector<GDALDatasetUniquePtr>> opened = open_twelve_files(spec_);
        if (!opened) return fail(opened.error());
        datasets = std::move(*opened);
    } else {
        Result<GDALDatasetUniquePtr> opened =
            open_dataset(spec_, spec_.path, bands_needed(spec_),
                         is_monthly ? MoreBands::accepted : MoreBands::refused);
        if (!opened) return fail(opened.error());
        if (is_monthly && (*opened)->GetRasterCount() > kMonths) {
            // A file that is open twice has the chunk cache of the first time (mean_raster.cpp).
            opened->reset();
            return open_years();
        }
        datasets.push_back(std::move(*opened));
        const auto times = is_monthly ? band_times(*datasets.front()) : std::nullopt;
        if (const auto trouble = times ? trouble_with_months(*times) : std::nullopt) {
            return fail(ErrorCode::bad_input,
                        about_grid(spec_, spec_.path + " does not run from January to December: " +
                                              *trouble));
        }
    }

    for (std::size_t i = 0; i < datasets.size(); ++i) {
        const std::string path =
            in_twelve_files ? with_month(spec_.path, static_cast<int>(i)) : spec_.path;
        TRY(settle_geometry(*datasets[i], path));
        add_files_of(*datasets[i], path);
        for (int band = 1; band <= datasets[i]->GetRasterCount(); ++band)
            bands_->months.push_back(month_band(*datasets[i]->GetRasterBand(band)));
    }
    return {};
}

Result<void> Grid::settle_scale() {
    const auto states_one = [](const MonthBand& month) {
        return month.scale != 1.0 || month.offset != 0.0;
    };
    const auto stating = std::find_if(bands_->months.begin(), bands_->months.end(), states_one);
    is_scale_of_file_ = stating != bands_->months.end() && !spec_.is_scale_of_file_wrong;
    if (spec_.is_scale_of_file_wrong && stating == bands_->months.end()) {
        warnings_.push_back(about_grid(
            spec_,
            spec_.path + " states no scale or offset, so scale_of_file = \"wrong\" has no effect"));
    }
    if (is_scale_of_file_) {
        if (!spec_.scale && !spec_.offset) return {};
        std::string of_recipe;
        if (spec_.scale) of_recipe = "scale = " + short_number(*spec_.scale);
        if (spec_.offset)
            of_recipe += (spec_.scale ? " and " : "") + ("offset = " + short_number(*spec_.offset));
        return fail(
            ErrorCode::bad_input,
            about_grid(spec_, spec_.path + " states its own scale " + short_number(stating->scale) +
                                  " and offset " + short_number(stating->offset) +
                                  ", which are applied, and the recipe has " + of_recipe + " too"),
            "remove those keys from the recipe, or, if the file is wrong, set "
            "scale_of_file = \"wrong\", and only the recipe's are applied");
    }
    for (MonthBand& month : bands_->months) {
        month.scale = spec_.scale.value_or(1.0);
        month.offset = spec_.offset.value_or(0.0);
    }
    return {};
}

Result<void> Grid::check_units_of_file() {
    std::set<std::string> units;
    for (const MonthBand& month : bands_->months) units.insert(unit_in_file(*month.band));
    units.erase("");
    bool is_overruled_in_vain = true;
    for (const std::string& unit : units) {
        const std::string stated = spec_.path + " gives its unit as \"" + unit + "\", which ";
        const FileUnit found = compare_file_unit(spec_.variable, spec_.unit, unit);
        if (found != FileUnit::agrees) is_overruled_in_vain = false;
        if (found == FileUnit::agrees || spec_.is_unit_of_file_wrong) continue;
        if (found == FileUnit::unreadable) {
            warnings_.push_back(about_grid(
                spec_, stated + "cannot be read; the recipe's \"" + spec_.unit + "\" is taken"));
            continue;
        }
        return fail(ErrorCode::bad_input,
                    about_grid(spec_, stated + "is not the recipe's unit = \"" + spec_.unit +
                                          "\": correct the one that is wrong"),
                    "if the file is wrong, set unit_of_file = \"wrong\"; then the recipe's unit is "
                    "taken");
    }
    if (spec_.is_unit_of_file_wrong && is_overruled_in_vain) {
        warnings_.push_back(about_grid(
            spec_, spec_.path +
                       (units.empty() ? " states no unit" : " states the recipe's own unit") +
                       ", so unit_of_file = \"wrong\" has no effect"));
    }
    return {};
}

}  // namespace thirstline
