#include "builder/publish/downloads.hpp"

#include <cpl_vsi.h>

#include <algorithm>
#include <cerrno>
#include <filesystem>
#include <fstream>
#include <memory>

#include "builder/export/exact_decimals.hpp"
#include "builder/export/export.hpp"
#include "builder/publish/published_stations.hpp"
#include "schema/base/words.hpp"
#include "schema/files/file_replacement.hpp"
#include "schema/files/whole_file.hpp"

namespace thirstline {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t kLongestStem = 40;
constexpr std::size_t kPiece = 1 << 20;

struct CloseVsiFile {
    void operator()(VSILFILE* file) const { VSIFCloseL(file); }
};
using VsiFile = std::unique_ptr<VSILFILE, CloseVsiFile>;

Result<void> add_to_zip(const std::string& zip, const std::string& path,
                        const std::atomic<bool>& interrupted) {
    const std::string inside = "/vsizip/" + zip + "/" + fs::path(path).filename().string();
    const auto failed = [&zip] {
        return fail(system_error("writing " + fs::path(zip).filename().string()));
    };
    errno = 0;
    VsiFile out(VSIFOpenL(inside.c_str(), "wb"));
    if (!out) return failed();
    TRY(for_each_piece(path, path, [&](std::string_view piece) -> Result<void> {
        if (interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
        if (VSIFWriteL(piece.data(), 1, piece.size(), out.get()) != piece.size()) return failed();
        return {};
    }));
    if (VSIFCloseL(out.release()) != 0) return failed();
    return {};
}

class DownloadWriting {
  public:
    DownloadWriting(SiteFolder& folder, Database& database, const std::atomic<bool>& interrupted)
        : folder_(folder),
          database_(database),
          interrupted_(interrupted),
          stem_("downloads/" + file_stem_of(database.metadata("title"))) {}

    Result<std::vector<Download>> write(const std::vector<std::string>& words) {
        for (const std::string_view word : download_words()) {
            if (std::find(words.begin(), words.end(), word) == words.end()) continue;
            if (interrupted_.load()) return fail(ErrorCode::interrupted, "interrupted");
            TRY(write_one(word));
        }
        return std::move(downloads_);
    }

  private:
    Result<void> write_one(std::string_view word) {
        if (word == "sqlite") return copy_database();
        if (word == "image") return write_image();
        if (word == "csv") return write_table();
        if (word == "geotiff") return write_raster("geotiff", ".tif");
        if (word == "netcdf") return write_raster("netcdf", ".nc");
        if (word == "geopackage") return write_geopackage();
        return write_stations();
    }

    Result<void> take(const std::string& name, const char* form) {
        auto file = TRY(folder_.take(name));
        downloads_.push_back({std::move(file), form});
        return {};
    }

    Result<void> copy_database() {
        const std::string name = stem_ + ".sqlite";
        auto copy = TRY(TextFile::create(folder_.path(name), name));
        TRY(for_each_piece(database_.path(), database_.path(),
                           [&](std::string_view piece) -> Result<void> {
                               if (interrupted_.load())
                                   return fail(ErrorCode::interrupted, "interrupted");
                               return copy.write(piece);
                           }));
        TRY(copy.finish());
        return take(name, "database");
    }

    Result<void> exported(std::string_view format_name, const std::string& path,
                          std::vector<std::string> variables) {
        for (const ExportFormat& format : export_formats()) {
            if (format.name != format_name) continue;
            return run_export(database_, format, {path, {}, std::move(variables), std::nullopt},
                              interrupted_);
        }
        return fail(ErrorCode::internal, "there is no format " + std::string(format_name));
    }

    Result<void> write_image() {
        std::vector<std::string> variables;
        for (const Layer& layer : database_.layout().layers)
            if (is_known(layer.id) && image_holds(layer.id)) variables.emplace_back(layer.name);
        const std::string name = stem_ + ".img";
        TRY(exported("image", folder_.path(name), std::move(variables)));
        return take(name, "image");
    }

    Result<void> write_table() {
        const std::string table = folder_.path(stem_ + ".csv");
        const std::string text = folder_.path(stem_ + ".sources.txt");
        TRY(exported("csv", table, {}));
        const std::string name = stem_ + ".csv.zip";
        {
            // Files can be added to the archive while this is open.
            VsiFile zip(VSIFOpenL(("/vsizip/" + folder_.path(name)).c_str(), "wb"));
            if (!zip) return fail(system_error("writing " + name));
            for (const std::string& path : {text, table}) {
                TRY(add_to_zip(folder_.path(name), path, interrupted_));
            }
            errno = 0;
            if (VSIFCloseL(zip.release()) != 0) return fail(system_error("writing " + name));
        }
        std::error_code failed;
        for (const std::string& path : {text, table}) {
            if (!fs::remove(path, failed))
                return fail(ErrorCode::io, "removing " + path + ": " + failed.message());
        }
        return take(name, "csv");
    }

    Result<void> write_raster(const char* form, const char* extension) {
        if (database_.lattices().size() != 1) return {};
        const std::string name = stem_ + extension;
        TRY(exported(form, folder_.path(name), {}));
        return take(name, form);
    }

    Result<void> write_geopackage() {
        const std::string name = stem_ + ".gpkg";
        TRY(exported("geopackage", folder_.path(name), {}));
        return take(name, "geopackage");
    }

    Result<void> write_stations() {
        const auto stations = TRY(database_.stations());
        if (stations.empty()) return {};
        auto file = TRY(folder_.add(stem_ + "-stations.csv", station_table_csv(stations)));
        downloads_.push_back({std::move(file), "stations"});
        return {};
    }

    SiteFolder& folder_;
    Database& database_;
    const std::atomic<bool>& interrupted_;
    std::string stem_;
    std::vector<Download> downloads_;
};

}  // namespace

std::string file_stem_of(std::string_view title) {
    std::string stem;
    for (const char c : title) {
        if (is_ascii_alphanumeric(c)) {
            stem += ascii_lower(c);
        } else if (!stem.empty() && stem.back() != '-') {
            stem += '-';
        }
        if (stem.size() <= kLongestStem) continue;
        // If there are several words, drop a whole word rather than cut one.
        const std::size_t hyphen = stem.rfind('-');
        stem.resize(hyphen == std::string::npos ? kLongestStem : hyphen);
        break;
    }
    while (!stem.empty() && stem.back() == '-') stem.pop_back();
    return stem.empty() ? "thirstline" : stem;
}

const std::vector<std::string_view>& download_words() {
    static const std::vector<std::string_view> kWords{"sqlite", "image",      "csv",     "geotiff",
                                                      "netcdf", "geopackage", "stations"};
    return kWords;
}

const std::vector<std::string>& default_downloads() {
    static const std::vector<std::string> kWords{"sqlite", "image", "csv", "geotiff", "stations"};
    return kWords;
}

Result<std::vector<Download>> write_downloads(SiteFolder& folder, Database& database,
                                              const std::vector<std::string>& words,
                                              const std::atomic<bool>& interrupted) {
    return DownloadWriting(folder, database, interrupted).write(words);
}

}  // namespace thirstline
