#include "tests/benchmarks/rival_stores.hpp"

#include <fcntl.h>
#include <gdal_priv.h>
#include <sqlite3.h>
#include <unistd.h>

#include <cstring>
#include <filesystem>
#include <stdexcept>

namespace thirstline::benchmarks {

namespace {

constexpr std::int16_t kNoData = -32768;
constexpr int kBands = 2 * kMonths;
constexpr std::size_t kPointBytes = sizeof(PointValues);

std::int64_t size_of(const std::string& path) {
    return static_cast<std::int64_t>(std::filesystem::file_size(path));
}

std::int64_t key_of(const Lattice& lattice, LatticePoint point) {
    return static_cast<std::int64_t>(point.row) * lattice.columns + point.column;
}

class GeoTiffStore final : public RivalStore {
  public:
    GeoTiffStore(const StoredValues& stored, const std::string& path, int tile_pixels)
        : path_(path), rows_(stored.lattice.rows) {
        write(stored, tile_pixels);
        dataset_.reset(GDALDataset::Open(path.c_str(), GDAL_OF_RASTER));
        require(dataset_ != nullptr, "cannot open " + path);
    }

    PointValues values_at(LatticePoint point) override {
        PointValues values{};
        const CPLErr error =
            dataset_->RasterIO(GF_Read, point.column, rows_ - 1 - point.row, 1, 1, values.data(), 1,
                               1, GDT_Int16, kBands, nullptr, 0, 0, sizeof(std::int16_t), nullptr);
        require(error == CE_None, "cannot read " + path_);
        return values;
    }
    void forget() override { dataset_->FlushCache(false); }
    std::int64_t file_bytes() const override { return size_of(path_); }

  private:
    void write(const StoredValues& stored, int tile_pixels) {
        GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
        require(driver != nullptr, "GDAL has no GTiff driver");
        const std::string side = std::to_string(tile_pixels);
        CPLStringList options;
        for (const auto& [key, value] : {std::pair{"TILED", std::string("YES")},
                                         {"BLOCKXSIZE", side},
                                         {"BLOCKYSIZE", side},
                                         {"COMPRESS", std::string("ZSTD")},
                                         {"ZSTD_LEVEL", std::string("22")},
                                         {"PREDICTOR", std::string("2")},
                                         {"INTERLEAVE", std::string("PIXEL")}})
            options.SetNameValue(key, value.c_str());
        const Lattice& lattice = stored.lattice;
        const std::unique_ptr<GDALDataset> made(driver->Create(
            path_.c_str(), lattice.columns, lattice.rows, kBands, GDT_Int16, options.List()));
        require(made != nullptr, "cannot write " + path_);
        const auto row_values = static_cast<std::size_t>(lattice.columns) * kBands;
        std::vector<std::int16_t> all(row_values * static_cast<std::size_t>(lattice.rows), kNoData);
        for (std::size_t i = 0; i < stored.points.size(); ++i) {
            const LatticePoint at = stored.points[i];
            const auto from_north = static_cast<std::size_t>(lattice.rows - 1 - at.row);
            std::memcpy(
                &all[from_north * row_values + static_cast<std::size_t>(at.column) * kBands],
                stored.values[i].data(), kPointBytes);
        }
        for (int band = 1; band <= kBands; ++band)
            made->GetRasterBand(band)->SetNoDataValue(kNoData);
        const auto pixel = static_cast<GSpacing>(kPointBytes);
        const CPLErr error =
            made->RasterIO(GF_Write, 0, 0, lattice.columns, lattice.rows, all.data(),
                           lattice.columns, lattice.rows, GDT_Int16, kBands, nullptr, pixel,
                           pixel * lattice.columns, sizeof(std::int16_t), nullptr);
        require(error == CE_None, "cannot write " + path_);
    }

    std::string path_;
    int rows_;
    std::unique_ptr<GDALDataset> dataset_;
};

class SqliteStore : public RivalStore {
  public:
    ~SqliteStore() override {
        sqlite3_finalize(statement_);
        sqlite3_close(connection_);
    }
    std::int64_t file_bytes() const override { return size_of(path_); }

  protected:
    SqliteStore(std::string path, const Lattice& lattice)
        : path_(std::move(path)), lattice_(lattice) {
        std::filesystem::remove(path_);
        require(sqlite3_open(path_.c_str(), &connection_) == SQLITE_OK, "cannot open " + path_);
        run("PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; BEGIN");
    }
    void run(const char* sql) {
        require(sqlite3_exec(connection_, sql, nullptr, nullptr, nullptr) == SQLITE_OK,
                std::string(sqlite3_errmsg(connection_)) + ": " + sql);
    }
    void prepare(const char* sql) {
        sqlite3_finalize(statement_);
        require(sqlite3_prepare_v2(connection_, sql, -1, &statement_, nullptr) == SQLITE_OK,
                std::string(sqlite3_errmsg(connection_)) + ": " + sql);
    }
    void insert_rows(const StoredValues& stored) {
        run("CREATE TABLE point (point_key INTEGER PRIMARY KEY, value BLOB NOT NULL)");
        prepare("INSERT INTO point VALUES (?1, ?2)");
        for (std::size_t i = 0; i < stored.points.size(); ++i) {
            sqlite3_bind_int64(statement_, 1, key_of(lattice_, stored.points[i]));
            sqlite3_bind_blob(statement_, 2, stored.values[i].data(), kPointBytes, SQLITE_STATIC);
            step(SQLITE_DONE);
            sqlite3_reset(statement_);
        }
    }
    /// Read as the look-up reads its file: read-only, memory-mapped.
    void reopen() {
        run("COMMIT; VACUUM");
        sqlite3_finalize(statement_);
        statement_ = nullptr;
        sqlite3_close(connection_);
        require(sqlite3_open_v2(("file:" + path_ + "?mode=ro&immutable=1").c_str(), &connection_,
                                SQLITE_OPEN_READONLY | SQLITE_OPEN_URI, nullptr) == SQLITE_OK,
                "cannot open " + path_);
        run("PRAGMA mmap_size = 1073741824");
    }
    void step(int wanted) {
        require(sqlite3_step(statement_) == wanted, sqlite3_errmsg(connection_));
    }
    PointValues taken_values(int column) {
        PointValues values{};
        require(sqlite3_column_bytes(statement_, column) == static_cast<int>(kPointBytes),
                "a row of " + path_ + " has another length");
        std::memcpy(values.data(), sqlite3_column_blob(statement_, column), kPointBytes);
        sqlite3_reset(statement_);
        return values;
    }

    std::string path_;
    Lattice lattice_;
    sqlite3* connection_ = nullptr;
    sqlite3_stmt* statement_ = nullptr;
};

class RowStore final : public SqliteStore {
  public:
    RowStore(const StoredValues& stored, const std::string& path)
        : SqliteStore(path, stored.lattice) {
        insert_rows(stored);
        reopen();
        prepare("SELECT value FROM point WHERE point_key = ?1");
    }
    PointValues values_at(LatticePoint point) override {
        sqlite3_bind_int64(statement_, 1, key_of(lattice_, point));
        step(SQLITE_ROW);
        return taken_values(0);
    }
};

class RTreeStore final : public SqliteStore {
  public:
    RTreeStore(const StoredValues& stored, const std::string& path)
        : SqliteStore(path, stored.lattice) {
        insert_rows(stored);
        run("CREATE VIRTUAL TABLE place USING rtree (id, west, east, south, north)");
        prepare("INSERT INTO place VALUES (?1, ?2, ?2, ?3, ?3)");
        for (const LatticePoint& point : stored.points) {
            const LatLon at = position_of(lattice_, point);
            sqlite3_bind_int64(statement_, 1, key_of(lattice_, point));
            sqlite3_bind_double(statement_, 2, at.lon_deg);
            sqlite3_bind_double(statement_, 3, at.lat_deg);
            step(SQLITE_DONE);
            sqlite3_reset(statement_);
        }
        reopen();
        prepare(
            "SELECT value FROM place JOIN point ON point_key = id "
            "WHERE west <= ?2 AND east >= ?1 AND south <= ?4 AND north >= ?3");
    }
    PointValues values_at(LatticePoint point) override {
        const LatLon at = position_of(lattice_, point);
        const double margin = lattice_.spacing_arcsec / (4.0 * kArcsecPerDegree);
        sqlite3_bind_double(statement_, 1, at.lon_deg - margin);
        sqlite3_bind_double(statement_, 2, at.lon_deg + margin);
        sqlite3_bind_double(statement_, 3, at.lat_deg - margin);
        sqlite3_bind_double(statement_, 4, at.lat_deg + margin);
        step(SQLITE_ROW);
        return taken_values(0);
    }
};

class FlatFile final : public RivalStore {
  public:
    FlatFile(const StoredValues& stored, const std::string& path)
        : path_(path), lattice_(stored.lattice) {
        descriptor_ = ::open(path.c_str(), O_RDWR | O_CREAT | O_TRUNC, 0644);
        require(descriptor_ >= 0, "cannot open " + path);
        for (std::size_t i = 0; i < stored.points.size(); ++i) {
            require(::pwrite(descriptor_, stored.values[i].data(), kPointBytes,
                             offset_of(stored.points[i])) == static_cast<ssize_t>(kPointBytes),
                    "cannot write " + path);
        }
    }
    ~FlatFile() override { ::close(descriptor_); }
    PointValues values_at(LatticePoint point) override {
        PointValues values{};
        require(::pread(descriptor_, values.data(), kPointBytes, offset_of(point)) ==
                    static_cast<ssize_t>(kPointBytes),
                "cannot read " + path_);
        return values;
    }
    std::int64_t file_bytes() const override { return size_of(path_); }

  private:
    [[nodiscard]] off_t offset_of(LatticePoint point) const {
        return static_cast<off_t>(key_of(lattice_, point)) * static_cast<off_t>(kPointBytes);
    }

    std::string path_;
    Lattice lattice_;
    int descriptor_ = -1;
};

}  // namespace

void require(bool holds, const std::string& what) {
    if (!holds) throw std::runtime_error(what);
}

std::unique_ptr<RivalStore> geotiff_store(const StoredValues& values, const std::string& path,
                                          int tile_pixels) {
    return std::make_unique<GeoTiffStore>(values, path, tile_pixels);
}
std::unique_ptr<RivalStore> sqlite_rows(const StoredValues& values, const std::string& path) {
    return std::make_unique<RowStore>(values, path);
}
std::unique_ptr<RivalStore> sqlite_rtree(const StoredValues& values, const std::string& path) {
    return std::make_unique<RTreeStore>(values, path);
}
std::unique_ptr<RivalStore> flat_file(const StoredValues& values, const std::string& path) {
    return std::make_unique<FlatFile>(values, path);
}

}  // namespace thirstline::benchmarks
