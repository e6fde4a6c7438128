#include "lookup/sql_extension/points_function.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <utility>

#include "lookup/site_output/answer_decimals.hpp"
#include "lookup/sql_extension/sql_arguments.hpp"
#include "schema/base/calendar.hpp"
#include "schema/database/whole_tables.hpp"
#include "schema/geo/lattice.hpp"
#include "schema/text/rounding.hpp"
#include "schema/tile/method.hpp"
#include "schema/tile_code/tile_codec.hpp"

namespace thirstline {
namespace {

/// A range of degrees, both ends included.
struct Degrees {
    double least = -std::numeric_limits<double>::infinity();
    double most = std::numeric_limits<double>::infinity();

    void narrow(SqlBound::Kind kind, double value) {
        if (kind != SqlBound::Kind::at_most) least = std::max(least, value);
        if (kind != SqlBound::Kind::at_least) most = std::min(most, value);
    }
    [[nodiscard]] bool hold(double value) const { return least <= value && value <= most; }
};

/// The points that a call asks for. Conditions on the columns only narrow it.
struct Wanted {
    Degrees lat, lon;
    std::optional<Degrees> outside_lon;  ///< not wanted: a box that crosses the antimeridian
    std::optional<std::int64_t> tile_key;

    [[nodiscard]] bool hold_lon(double lon_deg) const {
        const bool is_outside =
            outside_lon && outside_lon->least < lon_deg && lon_deg < outside_lon->most;
        return lon.hold(lon_deg) && !is_outside;
    }
};

enum Column : std::size_t {
    tile_key_column,
    slot_column,
    lattice_id_column,
    lat_column,
    lon_column,
    month_column,
    days_column,
    eto_mm_column,
    eto_mm_per_day_column,
    eto_se_mm_column,
    rain_mm_column,
    rain_se_mm_column,
    tmax_c_column,
    tmin_c_column,
    method_code_column,
    method_column,
    method_note_column,
    period_column,
    elevation_m_column,
    column_count
};

constexpr std::array<SqlColumn, column_count> kPointColumns{{{"tile_key", "INTEGER"},
                                                             {"slot", "INTEGER"},
                                                             {"lattice_id", "INTEGER"},
                                                             {"lat", "REAL"},
                                                             {"lon", "REAL"},
                                                             {"month", "INTEGER"},
                                                             {"days", "REAL"},
                                                             {"eto_mm", "REAL"},
                                                             {"eto_mm_per_day", "REAL"},
                                                             {"eto_se_mm", "REAL"},
                                                             {"rain_mm", "REAL"},
                                                             {"rain_se_mm", "REAL"},
                                                             {"tmax_c", "REAL"},
                                                             {"tmin_c", "REAL"},
                                                             {"method_code", "INTEGER"},
                                                             {"method", "TEXT"},
                                                             {"method_note", "TEXT"},
                                                             {"period", "TEXT"},
                                                             {"elevation_m", "REAL"}}};

class PointRows final : public SqlRows {
  public:
    PointRows(std::shared_ptr<FilesOfConnection> files, std::shared_ptr<OpenFile> file,
              Wanted wanted, const std::vector<PeriodRow>& periods, std::vector<SqlValue> arguments)
        : files_(std::move(files)),
          file_(std::move(file)),
          database_(file_->database()),
          wanted_(wanted),
          arguments_(std::move(arguments)) {
        for (const PeriodRow& period : periods) periods_[period.id] = period.text;
    }

    Result<bool> next() override {
        if (tile_ && ++month_ < kMonths) return true;
        month_ = 0;
        while (true) {
            while (tile_ && ++slot_ < database_.layout().slots())
                if (is_wanted_point()) return true;
            const auto more = next_tile();
            TRY(files_->check_unchanged(*file_));
            if (!more) return fail(more.error());
            if (!*more) return false;
            slot_ = -1;
        }
    }

    SqlValue value(std::size_t column) const override {
        switch (column) {
            case tile_key_column:
                return key_;
            case slot_column:
                return std::int64_t{slot_};
            case lattice_id_column:
                return std::int64_t{lattice().id};
            case lat_column:
                return place_.lat_deg;
            case lon_column:
                return place_.lon_deg;
            case month_column:
                return std::int64_t{month_} + 1;
            case days_column:
                return days();
            case eto_mm_column:
                return layer_value(LayerId::eto, days(), kMmDecimals);
            case eto_mm_per_day_column:
                return layer_value(LayerId::eto);
            case eto_se_mm_column:
                return layer_value(LayerId::eto_se, days(), kMmDecimals);
            case rain_mm_column:
                return layer_value(LayerId::rain);
            case rain_se_mm_column:
                return layer_value(LayerId::rain_se);
            case tmax_c_column:
                return layer_value(LayerId::tmax);
            case tmin_c_column:
                return layer_value(LayerId::tmin);
            case elevation_m_column:
                return layer_value(LayerId::elevation);
            case period_column:
                return period();
            case method_code_column:
            case method_column:
            case method_note_column:
                return method(column);
            default:
                return arguments_[column - column_count];
        }
    }

  private:
    [[nodiscard]] const Lattice& lattice() const { return database_.lattices()[lattice_]; }
    [[nodiscard]] double days() const { return kDaysInMonth[static_cast<std::size_t>(month_)]; }

    /// The next tile with a point that may be wanted.
    Result<bool> next_tile() {
        tile_.reset();
        while (true) {
            if (!scan_) {
                const auto more = TRY(next_scan());
                if (!more) return false;
            }
            const auto row = TRY(scan_->next());
            if (!row) {
                scan_.reset();
                continue;
            }
            key_ = row->key;
            address_ = tile_of_key(key_);
            if (!is_wanted_tile()) continue;
            auto decoded = decode_tile(row->codec, database_.layout(), row->data);
            if (!decoded) {
                return fail(ErrorCode::bad_database,
                            "tile " + std::to_string(key_) + " of " + database_.path() +
                                " is damaged: " + decoded.error().message,
                            "download or build the file again");
            }
            tile_ = std::move(*decoded);
            return true;
        }
    }

    /// A row of tiles of a lattice at a time, so that a box reads no others.
    Result<bool> next_scan() {
        while (lattice_ < database_.lattices().size()) {
            if (!tile_row_) tile_row_ = first_tile(lattice()).tile_row;
            const std::int32_t row = (*tile_row_)++;
            if (row > last_tile(lattice()).tile_row) {
                tile_row_.reset();
                ++lattice_;
                continue;
            }
            const std::int64_t first = tile_key(lattice().id, {row, 0});
            const std::int64_t last = tile_key(lattice().id, {row, kLastTileColumn});
            if (wanted_.tile_key && (*wanted_.tile_key < first || *wanted_.tile_key > last))
                continue;
            const int edge = lattice().tile_edge;
            const double south = point_of({row, 0}, 0).lat_deg;
            const double north = point_of({row, 0}, (edge - 1) * edge).lat_deg;
            if (north < wanted_.lat.least || south > wanted_.lat.most) continue;
            scan_ = TRY(TileScan::over(database_, first, last));
            return true;
        }
        return false;
    }

    [[nodiscard]] bool is_wanted_tile() const {
        if (wanted_.tile_key && *wanted_.tile_key != key_) return false;
        for (int column = 0; column < lattice().tile_edge; ++column)
            if (wanted_.hold_lon(point_of(address_, column).lon_deg)) return true;
        return false;
    }

    [[nodiscard]] bool is_wanted_point() {
        if (tile_->present[static_cast<std::size_t>(slot_)] == 0) return false;
        if (!contains(lattice(), point_in_tile(lattice(), address_, slot_))) return false;
        place_ = point_of(address_, slot_);
        return wanted_.lat.hold(place_.lat_deg) && wanted_.hold_lon(place_.lon_deg);
    }

    /// Whole arc-seconds divided once, as in the views.
    [[nodiscard]] LatLon point_of(TileAddress tile, int slot) const {
        const LatticePoint point = point_in_tile(lattice(), tile, slot);
        const std::int64_t spacing = lattice().spacing_arcsec;
        constexpr std::int64_t kHalfCircle = kArcsecPerCircle / 2;
        const std::int64_t lon = lattice().west_arcsec + point.column * spacing + kHalfCircle;
        const std::int64_t turned = (lon % kArcsecPerCircle + kArcsecPerCircle) % kArcsecPerCircle;
        return {
            static_cast<double>(lattice().south_arcsec + point.row * spacing) / kArcsecPerDegree,
            static_cast<double>(turned - kHalfCircle) / kArcsecPerDegree};
    }

    [[nodiscard]] std::optional<std::int32_t> stored(LayerId id) const {
        const Layer* layer = database_.layout().find(id);
        if (layer == nullptr) return std::nullopt;
        const auto place =
            layer->shape == LayerShape::point_month ? slot_ * kMonths + month_ : slot_;
        const std::int32_t value = tile_->of(id)[static_cast<std::size_t>(place)];
        return value == kMissingValue ? std::nullopt : std::optional(value);
    }

    [[nodiscard]] SqlValue layer_value(LayerId id, double times = 1.0,
                                       std::optional<int> decimals = {}) const {
        const auto integer = stored(id);
        if (!integer) return {};
        const double value = *integer * times / database_.layout().find(id)->divisor;
        return decimals ? rounded(value, *decimals) : value;
    }

    [[nodiscard]] SqlValue method(std::size_t column) const {
        const auto code = stored(LayerId::method);
        if (!code) return {};
        if (column == method_code_column) return std::int64_t{*code};
        const Method method = method_of_code(static_cast<std::uint16_t>(*code));
        return column == method_column ? method_name(method) : method_note(method);
    }

    [[nodiscard]] SqlValue period() const {
        const auto id = stored(LayerId::period);
        const auto found = id ? periods_.find(*id) : periods_.end();
        return found == periods_.end() ? SqlValue() : SqlValue(found->second);
    }

    std::shared_ptr<FilesOfConnection> files_;
    std::shared_ptr<OpenFile> file_;
    Database& database_;
    Wanted wanted_;
    std::map<std::int32_t, std::string> periods_;
    std::vector<SqlValue> arguments_;

    std::size_t lattice_ = 0;
    std::optional<std::int32_t> tile_row_;
    std::optional<TileScan> scan_;
    std::int64_t key_ = 0;
    TileAddress address_;
    std::optional<Tile> tile_;
    int slot_ = 0;
    int month_ = 0;
    LatLon place_;
};

/// west, south, east and north: all or none.
Result<void> narrow_to_box(Wanted& wanted, const std::vector<SqlValue>& arguments) {
    constexpr std::array<const char*, 4> kNames{"west", "south", "east", "north"};
    std::array<double, 4> box{};
    int given = 0;
    for (std::size_t i = 0; i < box.size(); ++i) {
        if (is_null(arguments[i + 1])) continue;
        box[i] = TRY(number_argument(arguments[i + 1], kNames[i]));
        ++given;
    }
    if (given == 0) return {};
    const auto [west, south, east, north] = box;
    if (given < 4 || !(west >= -180 && west <= 180 && east >= -180 && east <= 180) ||
        !(south >= -90 && south <= north && north <= 90)) {
        return fail(ErrorCode::usage,
                    "the box must be west, south, east, north in degrees: west and east -180 to "
                    "180, south and north -90 to 90 in this order");
    }
    wanted.lat = {south, north};
    if (west == -180 && east == 180) return {};
    // Points have longitudes from -180 to less than 180.
    const double first = west == 180 ? -180 : west;
    const double last = east == 180 ? -180 : east;
    if (first <= last)
        wanted.lon = {first, last};
    else
        wanted.outside_lon = {last, first};
    return {};
}

Result<std::unique_ptr<SqlRows>> rows_of_points(const std::shared_ptr<FilesOfConnection>& files,
                                                SqlCall call) {
    auto file = TRY(files->file(call.arguments[0]));
    Wanted wanted;
    TRY(narrow_to_box(wanted, call.arguments));
    for (const SqlBound& bound : call.bounds) {
        if (bound.column == tile_key_column) {
            const auto* key = std::get_if<std::int64_t>(&bound.value);
            if (key != nullptr && bound.kind == SqlBound::Kind::equal) wanted.tile_key = *key;
            continue;
        }
        // SQLite itself compares a value that is not a number.
        double value = 0.0;
        if (const auto* number = std::get_if<double>(&bound.value))
            value = *number;
        else if (const auto* integer = std::get_if<std::int64_t>(&bound.value))
            value = static_cast<double>(*integer);
        else
            continue;
        (bound.column == lat_column ? wanted.lat : wanted.lon).narrow(bound.kind, value);
    }
    const auto periods = period_rows(file->database());
    TRY(files->check_unchanged(*file));
    if (!periods) return fail(periods.error());
    return std::make_unique<PointRows>(files, std::move(file), wanted, *periods,
                                       std::move(call.arguments));
}

}  // namespace

SqlFunction points_function(std::shared_ptr<FilesOfConnection> files) {
    return {"thirstline_points",
            {kPointColumns.begin(), kPointColumns.end()},
            {{"file", "TEXT"},
             {"west", "REAL"},
             {"south", "REAL"},
             {"east", "REAL"},
             {"north", "REAL"}},
            1,
            {tile_key_column, lat_column, lon_column},
            [files = std::move(files)](SqlCall call) {
                return rows_of_points(files, std::move(call));
            }};
}

}  // namespace thirstline
