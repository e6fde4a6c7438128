// Opens a path as a GDAL dataset with the required number of bands: reports missing files and files
// that are not rasters, and selects one of several variables.
#include <gdal_priv.h>

#include <string>
#include <utility>
#include <vector>

#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/grid_bands.hpp"
#include "builder/grids/pipe_check.hpp"
#include "schema/base/nearest_name.hpp"

namespace thirstline {
namespace {

struct NamedDataset {
    std::string variable;
    GDALDatasetUniquePtr dataset;
};

bool file_exists(const std::string& path) {
    VSIStatBufL status;
    return VSIStatExL(path.c_str(), &status, VSI_STAT_EXISTS_FLAG) == 0;
}

GDALDatasetUniquePtr open_raster(const std::string& path) {
    return GDALDatasetUniquePtr(
        GDALDataset::Open(path.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR));
}

/// `NETCDF:"file.nc":tmax` and `HDF5:"file.h5"://group/tmax` end with the variable's name.
std::string variable_of_subdataset(const std::string& name) {
    const auto separator = name.find_last_of(":/");
    return separator == std::string::npos ? name : name.substr(separator + 1);
}

std::vector<std::string> subdataset_names(GDALDataset& dataset) {
    std::vector<std::string> names;
    char** items = dataset.GetMetadata("SUBDATASETS");
    for (int i = 1;; ++i) {
        const std::string key = "SUBDATASET_" + std::to_string(i) + "_NAME";
        const char* name = CSLFetchNameValue(items, key.c_str());
        if (name == nullptr) return names;
        names.emplace_back(name);
    }
}

/// The variable of a file that has only one.
std::string only_variable(GDALDataset& dataset) {
    if (dataset.GetRasterCount() == 0) return {};
    const char* name = dataset.GetRasterBand(1)->GetMetadataItem("NETCDF_VARNAME");
    return name == nullptr ? std::string() : std::string(name);
}

std::string listed(const std::vector<NamedDataset>& variables) {
    std::string text;
    for (const NamedDataset& each : variables) {
        if (!text.empty()) text += ", ";
        text += each.variable;
        text += " (" + std::to_string(each.dataset->GetRasterCount()) +
                (each.dataset->GetRasterCount() == 1 ? " layer)" : " layers)");
    }
    return text;
}

Result<GDALDatasetUniquePtr> choose_variable(const GridSpec& spec, const std::string& path,
                                             std::vector<NamedDataset> variables, int bands,
                                             MoreBands more) {
    std::vector<std::string_view> names;
    std::vector<std::size_t> fitting;
    std::vector<std::size_t> longer;
    for (std::size_t i = 0; i < variables.size(); ++i) {
        names.push_back(variables[i].variable);
        if (variables[i].variable == spec.netcdf_variable) return std::move(variables[i].dataset);
        const int there = variables[i].dataset->GetRasterCount();
        if (there == bands) fitting.push_back(i);
        if (there > bands && more == MoreBands::accepted) longer.push_back(i);
    }
    if (fitting.empty()) fitting = longer;
    if (!spec.netcdf_variable.empty()) {
        return fail(ErrorCode::bad_input,
                    about_grid(spec, path + " has no variable \"" + spec.netcdf_variable + "\"" +
                                         did_you_mean_clause(spec.netcdf_variable, names)),
                    "its variables are " + listed(variables));
    }
    if (fitting.size() == 1) return std::move(variables[fitting.front()].dataset);
    if (variables.size() == 1) return std::move(variables.front().dataset);
    return fail(ErrorCode::bad_input,
                about_grid(spec, path + " holds several variables" +
                                     (fitting.empty() ? ", none of them with "
                                                      : ", and not just one has ") +
                                     std::to_string(bands) + (bands == 1 ? " layer" : " layers") +
                                     ": name one with netcdf_variable"),
                "its variables are " + listed(variables));
}

}  // namespace

std::string about_grid(const GridSpec& spec, const std::string& sentence) {
    std::string text;
    if (!spec.where.empty()) text = spec.where + ": ";
    if (!spec.name.empty()) text += "grid \"" + spec.name + "\": ";
    return text + sentence;
}

Result<GDALDatasetUniquePtr> open_dataset(const GridSpec& spec, const std::string& path, int bands,
                                          MoreBands more) {
    TRY(refuse_pipe(path, about_grid(spec, "")));
    const GdalMessages messages;
    GDALDatasetUniquePtr dataset = open_raster(path);
    if (!dataset) {
        if (!file_exists(path)) {
            return fail(ErrorCode::io,
                        about_grid(spec, "there is no file " + path + ": correct the path"),
                        messages.first_failure());
        }
        return fail(ErrorCode::bad_input, about_grid(spec, path + " cannot be read as a raster" +
                                                               messages.after_colon()));
    }

    const std::vector<std::string> subdatasets = subdataset_names(*dataset);
    if (dataset->GetRasterCount() == 0 && !subdatasets.empty()) {
        std::vector<NamedDataset> variables;
        for (const std::string& name : subdatasets) {
            GDALDatasetUniquePtr each = open_raster(name);
            if (each) variables.push_back({variable_of_subdataset(name), std::move(each)});
        }
        Result<GDALDatasetUniquePtr> chosen =
            choose_variable(spec, path, std::move(variables), bands, more);
        if (!chosen) return fail(chosen.error());
        dataset = std::move(*chosen);
    } else if (!spec.netcdf_variable.empty()) {
        const std::string only = only_variable(*dataset);
        if (only.empty()) {
            return fail(ErrorCode::bad_input,
                        about_grid(spec, path + " is not a netCDF file; remove netcdf_variable"));
        }
        if (only != spec.netcdf_variable) {
            return fail(ErrorCode::bad_input,
                        about_grid(spec, path + " has no variable \"" + spec.netcdf_variable +
                                             "\": its only one is \"" + only + "\""));
        }
    }

    const int there = dataset->GetRasterCount();
    if (there != bands && (there < bands || more == MoreBands::refused)) {
        std::string requirement =
            bands == kMonths ? "a monthly grid needs 12, January to December" : "one is needed";
        if (bands == 1 && spec.variable != Variable::elevation)
            requirement = "a file for each month needs one";
        return fail(
            ErrorCode::bad_input,
            about_grid(spec, path + " has " + std::to_string(there) +
                                 (there == 1 ? " band, and " : " bands, and ") + requirement),
            bands == kMonths && there == 1
                ? "twelve files are named by {month:02} or {month} in the path"
                : "");
    }
    return dataset;
}

}  // namespace thirstline
