// Opens a grid whose files hold the months of many years, and makes their means.
#include <cpl_vsi.h>

#include <algorithm>
#include <set>
#include <utility>

#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/grid.hpp"
#include "builder/grids/grid_bands.hpp"
#include "builder/grids/mean_raster.hpp"
#include "builder/grids/month_pattern.hpp"
#include "builder/grids/months_of_years.hpp"
#include "builder/grids/pipe_check.hpp"
#include "builder/grids/raster_geometry.hpp"

namespace thirstline {

namespace {

/// WMO-No. 1203 calls a mean over fewer years no period average (second hand).
constexpr int kMinYearsOfMeans = 10;

/// A band of a file, and the month that it holds.
struct BandOfMonth {
    int band = 1;
    int month = 0;
};

Error fault(const GridSpec& spec, const std::string& sentence, std::string hint = {}) {
    return {ErrorCode::bad_input, about_grid(spec, sentence), std::move(hint)};
}

/// All files that are not there, in one message.
Result<void> check_files_exist(const GridSpec& spec, const std::vector<std::string>& paths) {
    const GdalMessages quiet;
    constexpr std::size_t kListed = 3;
    std::vector<std::string> absent;
    for (const std::string& path : paths) {
        VSIStatBufL status;
        if (VSIStatExL(path.c_str(), &status, VSI_STAT_EXISTS_FLAG) != 0) absent.push_back(path);
    }
    if (absent.empty()) return {};
    std::string listed;
    for (std::size_t i = 0; i < std::min(absent.size(), kListed); ++i)
        listed += (i == 0 ? "" : ", ") + absent[i];
    if (absent.size() > kListed)
        listed += " and " + std::to_string(absent.size() - kListed) + " more";
    const std::string period = spec.years ? spec.years->text() : "";
    return fail(
        ErrorCode::io,
        about_grid(spec, "of the period " + period + ", " + std::to_string(absent.size()) + " of " +
                             std::to_string(paths.size()) + " files are not there: " + listed),
        "add them, correct the path, or change the period");
}

/// The variables of a GRIB file, whose messages are bands in any order: "TMP, TPRATE".
std::string elements_of_grib(GDALDataset& dataset) {
    std::set<std::string> elements;
    for (int band = 1; band <= dataset.GetRasterCount(); ++band) {
        const char* element = dataset.GetRasterBand(band)->GetMetadataItem("GRIB_ELEMENT");
        if (element != nullptr) elements.insert(element);
    }
    if (elements.size() < 2) return "";
    std::string listed;
    for (const std::string& element : elements) listed += (listed.empty() ? "" : ", ") + element;
    return listed;
}

/// Which bands of a file are needed, when it holds one year, one month of it, or all years.
Result<std::vector<BandOfMonth>> bands_of_file(const GridSpec& spec, GDALDataset& dataset,
                                               const std::string& path, std::size_t number) {
    const std::optional<std::vector<BandTime>> times = band_times(dataset);
    const YearRange years = *spec.years;
    std::optional<std::string> trouble;
    std::vector<BandOfMonth> bands;
    if (has_year_pattern(spec.path) && has_month_pattern(spec.path)) {
        const int month = static_cast<int>(number % kMonths);
        const int year = years.first + static_cast<int>(number / kMonths);
        if (times) trouble = trouble_with_month_of_year(times->front(), year, month);
        bands.push_back({1, month});
    } else if (has_year_pattern(spec.path)) {
        if (times) trouble = trouble_with_year(*times, years.first + static_cast<int>(number));
        for (int month = 0; month < kMonths; ++month) bands.push_back({month + 1, month});
    } else if (!times) {
        return fail(fault(spec,
                          path + " has " + std::to_string(dataset.GetRasterCount()) +
                              " bands, and a monthly grid needs 12, January to December; months "
                              "of several years need dates, which it does not state",
                          "give netCDF or GRIB with dates, or a file for each year by {year} in "
                          "the path"));
    } else if (const std::string elements = elements_of_grib(dataset); !elements.empty()) {
        trouble = "holds several variables, " + elements + ", and a GRIB file must hold one";
    } else {
        const auto chosen = months_of_years(*times, years);
        if (!chosen) trouble = chosen.error();
        for (std::size_t i = 0; chosen && i < chosen->bands.size(); ++i)
            bands.push_back({chosen->bands[i], static_cast<int>(i) % kMonths});
    }
    if (trouble) return fail(fault(spec, path + " " + *trouble, "correct the file or the period"));
    return bands;
}

}  // namespace

Result<void> Grid::open_years() {
    const bool in_files_of_years = has_year_pattern(spec_.path);
    if (!spec_.years) {
        return fail(fault(
            spec_,
            spec_.path + (in_files_of_years ? " is of many years, and the period is not"
                                            : " has more than 12 bands, and a monthly grid needs "
                                              "12, January to December"),
            "for means over years, period is the first and the last, such as "
            "\"1991-2020\""));
    }
    YearFiles files;
    files.years = spec_.years->count();
    files.paths = with_all_months(spec_.path, spec_.years);
    if (in_files_of_years) {
        for (const std::string& path : files.paths) TRY(refuse_pipe(path, about_grid(spec_, "")));
        TRY(check_files_exist(spec_, files.paths));
    }
    const int bands_of_each = in_files_of_years && has_month_pattern(spec_.path) ? 1 : kMonths;
    const MoreBands more = in_files_of_years ? MoreBands::refused : MoreBands::accepted;
    bool is_scale_of_a_file = false;
    for (std::size_t f = 0; f < files.paths.size(); ++f) {
        const std::string& path = files.paths[f];
        const auto dataset = TRY(open_dataset(spec_, path, bands_of_each, more));
        TRY(settle_geometry(*dataset, path));
        add_files_of(*dataset, path);
        const auto bands = TRY(bands_of_file(spec_, *dataset, path, f));
        bands_->months.clear();
        for (const BandOfMonth& each : bands)
            bands_->months.push_back(month_band(*dataset->GetRasterBand(each.band)));
        TRY(settle_scale());
        TRY(check_units_of_file());
        is_scale_of_a_file = is_scale_of_a_file || is_scale_of_file_;
        if (f == 0) {
            scale_ = bands_->months.front().scale;
            offset_ = bands_->months.front().offset;
        }
        for (std::size_t i = 0; i < bands.size(); ++i) {
            const MonthBand& settled = bands_->months[i];
            files.bands.push_back(
                {f, bands[i].band, bands[i].month, settled.scale, settled.offset});
        }
        int width = 0;
        int height = 0;
        dataset->GetRasterBand(1)->GetBlockSize(&width, &height);
        files.block_rows = std::max(files.block_rows, height);
        files.band_counts.push_back(dataset->GetRasterCount());
        bands_->months.clear();
    }
    is_scale_of_file_ = is_scale_of_a_file;
    // Each file gives the same ones.
    std::vector<std::string> each_once;
    for (std::string& warning : warnings_)
        if (std::find(each_once.begin(), each_once.end(), warning) == each_once.end())
            each_once.push_back(std::move(warning));
    warnings_ = std::move(each_once);

    files.columns = geometry_->columns();
    files.rows = geometry_->rows();
    MeanRaster means = TRY(mean_raster(spec_, files, conversion_));
    if (files.years < kMinYearsOfMeans)
        warnings_.push_back(about_grid(
            spec_, "its means are of only " + std::to_string(files.years) +
                       (files.years == 1 ? " year" : " years") + "; a normal needs ten or more"));
    if (means.incomplete > 0) {
        warnings_.push_back(about_grid(
            spec_, std::to_string(means.incomplete) +
                       " months of cells are left out, since they have values in fewer than " +
                       std::to_string(means.needed_years) + " of the " +
                       std::to_string(files.years) + " years"));
    }
    for (int band = 1; band <= kMonths; ++band)
        bands_->months.push_back(month_band(*means.dataset->GetRasterBand(band)));
    bands_->datasets.push_back(std::move(means.dataset));
    is_mean_of_years_ = true;
    return {};
}

}  // namespace thirstline
