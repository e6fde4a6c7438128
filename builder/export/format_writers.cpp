#include "builder/export/format_writers.hpp"

#include <filesystem>

namespace thirstline {

const std::vector<ExportFormat>& export_formats() {
    static const std::vector<ExportFormat> kFormats{
        {"sqlite", export_sqlite, true, true, false, nullptr},
        {"image", export_image, false, true, false, nullptr, image_holds, image_holds_by_default,
         true},
        {"csv", export_csv, false, false, false, ".sources.txt"},
        {"geotiff", export_geotiff, false, false, true, nullptr},
        {"netcdf", export_netcdf, false, false, true, nullptr},
        {"geopackage", export_geopackage, false, false, false, nullptr},
    };
    return kFormats;
}

std::string side_file_of(const ExportFormat& format, const std::string& output) {
    if (format.side_file == nullptr) return {};
    return std::filesystem::path(output).replace_extension().string() + format.side_file;
}

}  // namespace thirstline
