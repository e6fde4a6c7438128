#include "builder/publish/downloads.hpp"

#include <cpl_vsi.h>

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <memory>

#include "builder/export/exact_decimals.hpp"
#include "builder/export/export.hpp"
#include "builder/publish/published_stations.hpp"
#include "schema/files/file_replacement.hpp"

namespace thirstline {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t kLongestStem = 40;
constexpr std::size_t kPiece = 1 << 20;

struct CloseVsiFile {
    void operator()(VSILFILE* file) const { VSIFCloseL(file); }
};
using VsiFile = std::unique_ptr<VSILFILE, CloseVsiFile>;

using PieceTaker = std::function<Result<void>(std::string_view)>;

Result<void> for_each_piece(const std::string& path, const std::atomic<bool>& interrupted,
                            const PieceTaker& take) {
    std::ifstream file(path, std::ios::binary);
    if (!file) return fail(system_error("reading " + path));
    std::string piece(kPiece, '\0');
    while (file) {
        if (interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
        file.read(piece.data(), static_cast<std::streamsize>(piece.size()));
        const auto count = static_cast<std::size_t>(file.gcount());
        if (auto taken = take(std::string_view(piece).substr(0, count)); !taken) return taken;
    }
    if (!file.eof()) return fail(ErrorCode::io, "reading " + path + " failed");
    return {};
}

Result<void> add_to_zip(const std::string& zip, const std::string& path,
                        const std::atomic<bool>& interrupted) {
    const std::string inside = "/vsizip/" + zip + "/" + fs::path(path).filename().string();
    const auto failed = [&zip] {
        return fail(system_error("writing " + fs::path(zip).filename().string()));
    };
    errno = 0;
    VsiFile out(VSIFOpenL(inside.c_str(), "wb"));
    if (!out) return failed();
    auto copied = for_each_piece(path, interrupted, [&](std::string_view piece) -> Result<void> {
        if (VSIFWriteL(piece.data(), 1, piece.size(), out.get()) != piece.size()) return failed();
        return {};
    });
    if (!copied) return copied;
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

    Result<std::vector<Download>> write() {
        using Part = Result<void> (DownloadWriting::*)();
        for (const Part part : {&DownloadWriting::copy_database, &DownloadWriting::write_image,
                                &DownloadWriting::write_table, &DownloadWriting::write_raster,
                                &DownloadWriting::write_stations}) {
            if (interrupted_.load()) return fail(ErrorCode::interrupted, "interrupted");
            if (auto written = (this->*part)(); !written) return fail(written.error());
        }
        return std::move(downloads_);
    }

  private:
    Result<void> take(const std::string& name, const char* form) {
        auto file = folder_.take(name);
        if (!file) return fail(file.error());
        downloads_.push_back({std::move(*file), form});
        return {};
    }

    Result<void> copy_database() {
        const std::string name = stem_ + ".sqlite";
        auto copy = TextFile::create(folder_.path(name), name);
        if (!copy) return fail(copy.error());
        auto copied = for_each_piece(database_.path(), interrupted_,
                                     [&](std::string_view piece) { return copy->write(piece); });
        if (!copied) return copied;
        if (auto finished = copy->finish(); !finished) return finished;
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
        for (const Layer& layer : database_.layout().layers) {
            if (is_known(layer.id) && image_holds(layer.id)) variables.emplace_back(layer.name);
        }
        const std::string name = stem_ + ".img";
        if (auto written = exported("image", folder_.path(name), std::move(variables)); !written)
            return written;
        return take(name, "image");
    }

    Result<void> write_table() {
        const std::string table = folder_.path(stem_ + ".csv");
        const std::string text = folder_.path(stem_ + ".sources.txt");
        if (auto written = exported("csv", table, {}); !written) return written;
        const std::string name = stem_ + ".csv.zip";
        {
            // While it is open, files can be added to it.
            VsiFile zip(VSIFOpenL(("/vsizip/" + folder_.path(name)).c_str(), "wb"));
            if (!zip) return fail(system_error("writing " + name));
            for (const std::string& path : {text, table}) {
                if (auto added = add_to_zip(folder_.path(name), path, interrupted_); !added)
                    return added;
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

    Result<void> write_raster() {
        if (database_.lattices().size() != 1) return {};
        const std::string name = stem_ + ".tif";
        if (auto written = exported("geotiff", folder_.path(name), {}); !written) return written;
        return take(name, "geotiff");
    }

    Result<void> write_stations() {
        const auto stations = database_.stations();
        if (!stations) return fail(stations.error());
        if (stations->empty()) return {};
        auto file = folder_.add(stem_ + "-stations.csv", station_table_csv(*stations));
        if (!file) return fail(file.error());
        downloads_.push_back({std::move(*file), "stations"});
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
        const bool is_digit = c >= '0' && c <= '9';
        const bool is_capital = c >= 'A' && c <= 'Z';
        const bool is_small = c >= 'a' && c <= 'z';
        if (is_digit || is_small) {
            stem += c;
        } else if (is_capital) {
            stem += static_cast<char>(c - 'A' + 'a');
        } else if (!stem.empty() && stem.back() != '-') {
            stem += '-';
        }
        if (stem.size() <= kLongestStem) continue;
        // Rather a word less than half a word, where there are several.
        const std::size_t hyphen = stem.rfind('-');
        stem.resize(hyphen == std::string::npos ? kLongestStem : hyphen);
        break;
    }
    while (!stem.empty() && stem.back() == '-') stem.pop_back();
    return stem.empty() ? "thirstline" : stem;
}

Result<std::vector<Download>> write_downloads(SiteFolder& folder, Database& database,
                                              const std::atomic<bool>& interrupted) {
    return DownloadWriting(folder, database, interrupted).write();
}

}  // namespace thirstline
