#include <algorithm>
#include <optional>

#include "builder/export/exact_decimals.hpp"
#include "builder/export/format_writers.hpp"
#include "schema/database/database_writer.hpp"
#include "schema/database/history.hpp"
#include "schema/database/missing_rows.hpp"
#include "schema/database/whole_tables.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline {

namespace {

/// Metadata of a build that are not valid for a part of it.
constexpr std::string_view kOfTheWholeAlone[] = {"points", "incomplete_points", "tile_rows"};
/// Metadata that DatabaseWriter writes itself.
constexpr std::string_view kOfTheOldFileAlone[] = {"content_sha256", "head_crc32", "last_tile_key"};

/// The smallest box around the points kept, for metadata and for selecting near stations.
class KeptBounds {
  public:
    void include(LatLonE7 position) {
        if (!box_) {
            box_ = {position.lat_e7, position.lat_e7, position.lon_e7, 0};
            return;
        }
        box_->south_e7 = std::min(box_->south_e7, position.lat_e7);
        box_->north_e7 = std::max(box_->north_e7, position.lat_e7);
        const std::int64_t east = eastward(box_->west_e7, position.lon_e7, kCircleE7);
        if (east <= box_->width_e7) return;
        // To the east or to the west, whichever widens the box less.
        const std::int64_t west = eastward(position.lon_e7, box_->west_e7, kCircleE7);
        if (east - box_->width_e7 <= west) {
            box_->width_e7 = east;
        } else {
            box_->west_e7 = position.lon_e7;
            box_->width_e7 += west;
        }
    }

    /// To the nearest place of the box; on the sphere, accurate to a few percent.
    [[nodiscard]] double distance_km(LatLonE7 position) const {
        LatLonE7 nearest = position;
        nearest.lat_e7 = std::clamp(position.lat_e7, box_->south_e7, box_->north_e7);
        const std::int64_t east = eastward(box_->west_e7, position.lon_e7, kCircleE7);
        if (east > box_->width_e7) {
            const bool is_nearer_east_edge = east - box_->width_e7 <= kCircleE7 - east;
            nearest.lon_e7 = is_nearer_east_edge ? normalised_lon_e7(box_->west_e7 + box_->width_e7)
                                                 : box_->west_e7;
        }
        return great_circle_km(to_degrees(position), to_degrees(nearest));
    }

    /// "W,S,E,N"
    [[nodiscard]] std::string text() const {
        const auto corner = [](std::int32_t lon_e7, std::int32_t lat_e7) {
            std::string out;
            append_position(out, {lat_e7, lon_e7}, ",");
            const std::size_t comma = out.find(',');
            return out.substr(comma + 1) + "," + out.substr(0, comma);
        };
        return corner(box_->west_e7, box_->south_e7) + "," +
               corner(normalised_lon_e7(box_->west_e7 + box_->width_e7), box_->north_e7);
    }

  private:
    static constexpr std::int64_t kCircleE7 = 360 * kE7PerDegree;
    struct Box {
        std::int32_t south_e7, north_e7, west_e7;
        std::int64_t width_e7;
    };

    std::optional<Box> box_;
};

class SqliteExport {
  public:
    explicit SqliteExport(const ExportJob& job) : job_(job), database_(job.database) {}

    Result<void> write() {
        TRY(check_copyable(database_));
        writer_ = TRY(DatabaseWriter::create(job_.output, database_.layout()));
        using Part = Result<void> (SqliteExport::*)();
        for (const Part part : {&SqliteExport::write_tiles, &SqliteExport::write_sources,
                                &SqliteExport::write_stations, &SqliteExport::write_dictionaries,
                                &SqliteExport::write_postal_codes, &SqliteExport::write_metadata}) {
            TRY((this->*part)());
            if (job_.interrupted.load()) return fail(ErrorCode::interrupted, "interrupted");
        }
        TRY(writer_->finish());
        return {};
    }

  private:
    Result<void> write_tiles() {
        for (const Lattice& lattice : job_.lattices) TRY(writer_->add_lattice(lattice));
        for (const Lattice& lattice : job_.lattices) {
            const SelectedTiles::Rows rows = job_.tiles.tile_rows(lattice);
            for (int tile_row = rows.first; tile_row <= rows.last; ++tile_row) {
                const auto tiles = TRY(job_.tiles.row(lattice, tile_row));
                for (const SelectedTile& tile : tiles) TRY(write_tile(lattice, tile));
            }
        }
        if (points_ > 0) return {};
        return fail(nothing_selected(job_));
    }

    Result<void> write_tile(const Lattice& lattice, const SelectedTile& tile) {
        for (int slot = 0; slot < database_.layout().slots(); ++slot) {
            if (tile.tile.present[static_cast<std::size_t>(slot)] == 0) continue;
            ++points_;
            bounds_.include(position_e7_of(lattice, point_in_tile(lattice, tile.address, slot)));
        }
        const std::int64_t key = tile_key(lattice.id, tile.address);
        if (tile.is_whole) return writer_->add_tile(key, tile.codec, tile.data);
        const auto data = TRY(encode_tile(tile.codec, database_.layout(), tile.tile));
        return writer_->add_tile(key, tile.codec, data);
    }

    Result<void> write_sources() {
        const auto sources = TRY(database_.sources());
        for (const Source& source : sources) TRY(writer_->add_source(source));
        return {};
    }

    /// Stations that may affect a kept point: within the reach, or within the range over which
    /// stations of this baseline are similar, whichever is larger.
    Result<void> write_stations() {
        double range_km = number_in_metadata("station_range_km");
        for (const Lattice& lattice : job_.lattices)
            range_km = std::max(range_km, lattice.reach_m / 1000.0);
        const auto stations = TRY(database_.stations());
        for (const StationRecord& station : stations) {
            if (!job_.selection.is_everything() && bounds_.distance_km(station.position) > range_km)
                continue;
            TRY(writer_->add_station(station));
        }
        return {};
    }

    double number_in_metadata(const char* key) const {
        return std::strtod(database_.metadata(key).c_str(), nullptr);
    }

    Result<void> write_dictionaries() {
        const auto periods = TRY(period_rows(database_));
        for (const PeriodRow& period : periods) TRY(writer_->add_period(period.id, period.text));
        const auto methods = TRY(method_rows(database_));
        for (const MethodRow& method : methods) TRY(writer_->add_method(method));
        return {};
    }

    Result<void> write_postal_codes() {
        return for_each_selected_place(
            job_, [this](const PostalPlace& place) { return writer_->add_postal_place(place); });
    }

    Result<void> write_metadata() {
        std::map<std::string, std::string, std::less<>> metadata = database_.all_metadata();
        for (const std::string_view key : kOfTheOldFileAlone) metadata.erase(std::string(key));
        if (!job_.selection.is_everything()) {
            if (const auto rows = rows_present(database_))
                metadata["subset_of_tile_rows"] = tile_row_ranges_text(*rows);
            for (const std::string_view key : kOfTheWholeAlone) metadata.erase(std::string(key));
            metadata["points"] = std::to_string(points_);
            metadata["subset_of"] = database_.metadata("content_sha256");
            metadata["subset_selection"] = job_.selection.description();
            metadata["subset_bbox"] = bounds_.text();
        }
        for (const auto& [key, value] : metadata) TRY(writer_->add_metadata(key, value));
        const auto history = TRY(history_steps(database_));
        for (const HistoryStep& step : history) TRY(writer_->add_history(step));
        return {};
    }

    const ExportJob& job_;
    Database& database_;
    std::unique_ptr<DatabaseWriter> writer_;
    KeptBounds bounds_;
    std::int64_t points_ = 0;
};

}  // namespace

Result<void> export_sqlite(const ExportJob& job) {
    return SqliteExport(job).write();
}

}  // namespace thirstline
