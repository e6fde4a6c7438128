#include "builder/grids/mean_raster.hpp"

#include <netcdf.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <utility>

#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/grid_bands.hpp"
#include "builder/grids/plausible_values.hpp"
#include "builder/grids/raw_reader.hpp"

namespace thirstline {

namespace {

constexpr int kRowsOfStrip = 16;  // of the raster's own blocks, and the least that are read
constexpr std::uint16_t kRejected = std::numeric_limits<std::uint16_t>::max();

/// One month of a strip of cells.
struct MonthSums {
    std::vector<double> sums;
    std::vector<std::uint16_t> counts;  ///< kRejected: the sum is the rejected value

    void clear(std::size_t cells) {
        sums.assign(cells, 0.0);
        counts.assign(cells, 0);
    }
};
constexpr std::size_t kBytesOfCell = sizeof(double) + sizeof(std::uint16_t);

/// The caches while means are made. Netcdf keeps a file's decompressed chunks, which may hold many
/// times: its default is too little for a row of those of a single file, and much for each of many.
/// The setting is for files that are opened while this exists. GDAL's own blocks are used once.
class ReadingCaches {
  public:
    explicit ReadingCaches(const YearFiles& files) : gdal_bytes_(GDALGetCacheMax64()) {
        const std::size_t bytes = (files.paths.size() > 1 ? std::size_t{24} : std::size_t{96})
                                  << 20;
        constexpr GIntBig kMinGdalBytes = GIntBig{32} << 20;
        const GIntBig block_row =
            GIntBig{files.columns} * files.block_rows * static_cast<GIntBig>(sizeof(double));
        GDALSetCacheMax64(std::min(gdal_bytes_, std::max(2 * block_row, kMinGdalBytes)));
        constexpr std::size_t kSlots = 100'003;
        constexpr float kPreemption = 0.75F;
        is_set_ = nc_get_chunk_cache(&bytes_, &slots_, &preemption_) == NC_NOERR &&
                  nc_set_chunk_cache(bytes, kSlots, kPreemption) == NC_NOERR;
    }
    ~ReadingCaches() {
        GDALSetCacheMax64(gdal_bytes_);
        if (is_set_) nc_set_chunk_cache(bytes_, slots_, preemption_);
    }
    ReadingCaches(const ReadingCaches&) = delete;
    ReadingCaches& operator=(const ReadingCaches&) = delete;

  private:
    GIntBig gdal_bytes_;
    std::size_t bytes_ = 0;
    std::size_t slots_ = 0;
    float preemption_ = 0.0F;
    bool is_set_ = false;
};

std::string temporary_folder() {
    return CPLGetConfigOption("TMPDIR", "/var/tmp");
}

Error cannot_write(const GridSpec& spec, const std::string& why) {
    return {ErrorCode::io,
            about_grid(spec, "cannot write the means of its years to a temporary file in " +
                                 temporary_folder() + why),
            "set TMPDIR to a folder with more space"};
}

/// A raster that has lost its name.
Result<GDALDatasetUniquePtr> temporary_raster(const GridSpec& spec, int columns, int rows) {
    const GdalMessages messages;
    std::string folder = temporary_folder() + "/thirstline-XXXXXX";
    if (mkdtemp(folder.data()) == nullptr) return fail(cannot_write(spec, ""));
    const std::string path = folder + "/means.tif";
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    CPLStringList options;
    options.SetNameValue("INTERLEAVE", "BAND");
    options.SetNameValue("BLOCKYSIZE", std::to_string(kRowsOfStrip).c_str());
    options.SetNameValue("BIGTIFF", "IF_SAFER");
    GDALDatasetUniquePtr dataset(
        driver == nullptr
            ? nullptr
            : driver->Create(path.c_str(), columns, rows, kMonths, GDT_Float32, options.List()));
    unlink(path.c_str());
    rmdir(folder.c_str());
    if (!dataset) return fail(cannot_write(spec, messages.after_colon()));
    return dataset;
}

class Averaging {
  public:
    Averaging(const GridSpec& spec, const YearFiles& files, const UnitConversion& conversion)
        : spec_(spec),
          files_(files),
          conversion_(conversion),
          range_(plausible_range(spec.variable)) {
        result_.needed_years = static_cast<int>(std::ceil(kShareOfYears * files.years - 1e-9));
    }

    Result<MeanRaster> result() {
        const ReadingCaches caches(files_);
        result_.dataset = TRY(temporary_raster(spec_, files_.columns, files_.rows));
        const int rows = rows_of_strip();
        const int months = months_together(rows);
        for (int row = 0; row < files_.rows; row += rows) {
            for (int month = 0; month < kMonths; month += months) {
                TRY(average(row, std::min(rows, files_.rows - row), month,
                            std::min(month + months, kMonths)));
            }
        }
        const GdalMessages messages;
        result_.dataset->FlushCache();
        if (!messages.first_failure().empty())
            return fail(cannot_write(spec_, messages.after_colon()));
        return std::move(result_);
    }

  private:
    /// Whole blocks of the files if they fit, so that each is decompressed once; of several files
    /// as many as fit, since each strip opens all of them again.
    [[nodiscard]] int rows_of_strip() const {
        const auto columns = static_cast<std::size_t>(files_.columns);
        const auto fitting = [columns](std::size_t months) {
            return static_cast<int>(std::min<std::size_t>(
                std::max<std::size_t>(kMeanBytes / (columns * kBytesOfCell * months), 1),
                std::numeric_limits<int>::max()));
        };
        const int block = std::max(files_.block_rows, 1);
        int rows = (kRowsOfStrip + block - 1) / block * block;
        if (files_.paths.size() > 1) rows = std::max(rows, fitting(kMonths) / block * block);
        // Blocks of more rows than fit are read in equal parts.
        const int most = fitting(1);
        if (rows > most) rows = (rows + (rows + most - 1) / most - 1) / ((rows + most - 1) / most);
        return std::clamp(rows, 1, files_.rows);
    }

    [[nodiscard]] int months_together(int rows) const {
        const std::size_t bytes = static_cast<std::size_t>(rows) *
                                  static_cast<std::size_t>(files_.columns) * kBytesOfCell;
        return static_cast<int>(
            std::clamp<std::size_t>(kMeanBytes / bytes, 1, std::size_t{kMonths}));
    }

    Result<void> average(int first_row, int rows, int first_month, int end_month) {
        const std::size_t cells =
            static_cast<std::size_t>(rows) * static_cast<std::size_t>(files_.columns);
        sums_.resize(static_cast<std::size_t>(end_month - first_month));
        for (MonthSums& month : sums_) month.clear(cells);
        for (const YearBand& band : files_.bands) {
            if (band.month < first_month || band.month >= end_month) continue;
            TRY(open(band.file));
            TRY(add(band, first_row, rows,
                    sums_[static_cast<std::size_t>(band.month - first_month)]));
        }
        for (int month = first_month; month < end_month; ++month)
            TRY(write(first_row, rows, month,
                      sums_[static_cast<std::size_t>(month - first_month)]));
        return {};
    }

    Result<void> open(std::size_t file) {
        if (open_ && open_file_ == file) return {};
        open_.reset();
        open_ = TRY(open_dataset(spec_, files_.paths[file], files_.band_counts[file]));
        open_file_ = file;
        return {};
    }

    Result<void> add(const YearBand& from, int first_row, int rows, MonthSums& month) {
        const GdalMessages messages;
        std::vector<MonthBand> band{month_band(*open_->GetRasterBand(from.band))};
        band.front().scale = from.scale;
        band.front().offset = from.offset;
        RawReader reader(band, false);
        const double factor = conversion_.factor[static_cast<std::size_t>(from.month)];
        for (int row = 0; row < rows; row += kRowsOfStrip) {
            const int some = std::min(kRowsOfStrip, rows - row);
            if (!reader.read(0, first_row + row, files_.columns, some)) {
                return fail(ErrorCode::bad_input,
                            about_grid(spec_, files_.paths[from.file] + " is damaged: row " +
                                                  std::to_string(first_row + row) +
                                                  " cannot be read" + messages.after_colon()));
            }
            const std::size_t start =
                static_cast<std::size_t>(row) * static_cast<std::size_t>(files_.columns);
            const std::size_t count =
                static_cast<std::size_t>(some) * static_cast<std::size_t>(files_.columns);
            add_values(reader.cell(0), factor, count, month.sums.data() + start,
                       month.counts.data() + start);
        }
        return {};
    }

    void add_values(const double* values, double factor, std::size_t cells, double* sums,
                    std::uint16_t* counts) const {
        for (std::size_t cell = 0; cell < cells; ++cell) {
            const double value = values[cell];
            if (std::isnan(value) || counts[cell] == kRejected) continue;
            const double canonical = value * factor + conversion_.offset;
            if (!(canonical >= range_.least && canonical <= range_.greatest)) {
                sums[cell] = value;
                counts[cell] = kRejected;
                continue;
            }
            sums[cell] += value;
            ++counts[cell];
        }
    }

    /// A rejected value as the raster stores it, which must not round to an accepted one.
    [[nodiscard]] float rejected(double value, int month) const {
        constexpr double kGreatest = std::numeric_limits<float>::max();
        auto stored = static_cast<float>(std::clamp(value, -kGreatest, kGreatest));
        const double canonical = conversion_.canonical(static_cast<double>(stored), month);
        if (canonical >= range_.least && canonical <= range_.greatest) {
            stored = std::nextafter(stored, value > static_cast<double>(stored)
                                                ? std::numeric_limits<float>::max()
                                                : std::numeric_limits<float>::lowest());
        }
        return stored;
    }

    Result<void> write(int first_row, int rows, int month, const MonthSums& sums) {
        const GdalMessages messages;
        means_.resize(sums.sums.size());
        for (std::size_t cell = 0; cell < means_.size(); ++cell) {
            const std::uint16_t count = sums.counts[cell];
            if (count == kRejected) {
                means_[cell] = rejected(sums.sums[cell], month);
            } else if (count < result_.needed_years) {
                means_[cell] = kMissing;
                if (count > 0) ++result_.incomplete;
            } else {
                means_[cell] = static_cast<float>(sums.sums[cell] / count);
            }
        }
        if (result_.dataset->GetRasterBand(month + 1)->RasterIO(
                GF_Write, 0, first_row, files_.columns, rows, means_.data(), files_.columns, rows,
                GDT_Float32, 0, 0, nullptr) != CE_None) {
            return fail(cannot_write(spec_, messages.after_colon()));
        }
        return {};
    }

    const GridSpec& spec_;
    const YearFiles& files_;
    const UnitConversion& conversion_;
    const PlausibleRange& range_;
    MeanRaster result_;
    GDALDatasetUniquePtr open_;
    std::size_t open_file_ = 0;
    std::vector<MonthSums> sums_;
    std::vector<float> means_;
};

}  // namespace

Result<MeanRaster> mean_raster(const GridSpec& spec, const YearFiles& files,
                               const UnitConversion& conversion) {
    return Averaging(spec, files, conversion).result();
}

}  // namespace thirstline
