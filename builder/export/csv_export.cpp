#include <map>

#include "builder/export/exact_decimals.hpp"
#include "builder/export/format_writers.hpp"
#include "builder/export/staged_files.hpp"
#include "schema/database/whole_tables.hpp"
#include "schema/files/csv_rows.hpp"

namespace thirstline {

namespace {

constexpr int kMmDecimals = 1;

class CsvExport {
  public:
    explicit CsvExport(const ExportJob& job) : job_(job) {}

    Result<void> write() {
        TRY(read_dictionaries());
        auto staged = TRY(StagedFiles::beside(job_.output));
        auto table = TRY(TextFile::create(staged.path("table"), job_.output));
        TRY(write_table(table));
        TRY(table.finish());

        const std::string side_file = side_file_of(format(), job_.output);
        auto text = TRY(TextFile::create(staged.path("text"), side_file));
        TRY(text.write(provenance_text(job_.provenance)));
        TRY(text.finish());
        return staged.place_both("table", job_.output, "text", side_file);
    }

  private:
    static const ExportFormat& format() {
        for (const ExportFormat& format : export_formats())
            if (format.write == export_csv) return format;
        return export_formats().front();
    }

    Result<void> read_dictionaries() {
        const auto methods = TRY(method_rows(job_.database));
        for (const MethodRow& method : methods) methods_[method.code] = method;
        const auto periods = TRY(period_rows(job_.database));
        for (const PeriodRow& period : periods) periods_[period.id] = period.text;
        return {};
    }

    Result<void> write_table(TextFile& table) {
        TRY(table.write(header()));
        std::int64_t points = 0;
        for (const Lattice& lattice : job_.lattices) {
            const SelectedTiles::Rows rows = job_.tiles.tile_rows(lattice);
            for (int tile_row = rows.first; tile_row <= rows.last; ++tile_row) {
                const auto tiles = TRY(job_.tiles.row(lattice, tile_row));
                std::string lines;
                for (const SelectedTile& selected : tiles) {
                    for (int slot = 0; slot < job_.database.layout().slots(); ++slot) {
                        if (selected.tile.present[static_cast<std::size_t>(slot)] == 0) continue;
                        ++points;
                        append_point(lines, lattice, selected, slot);
                    }
                }
                TRY(table.write(lines));
            }
        }
        if (points > 0) return {};
        return fail(nothing_selected(job_));
    }

    std::string header() const {
        std::string line = "lat,lon";
        if (variable_of(job_, LayerId::elevation) != nullptr) line += ",elevation_m";
        line += ",month,days";
        for (const Layer& layer : job_.variables) line += columns_of(layer);
        return line + ",lattice\n";
    }

    static std::string columns_of(const Layer& layer) {
        switch (layer.id) {
            case LayerId::eto:
                return ",eto_mm,eto_mm_per_day";
            case LayerId::eto_se:
                return ",eto_se_mm";
            case LayerId::rain:
                return ",rain_mm";
            case LayerId::rain_se:
                return ",rain_se_mm";
            case LayerId::tmax:
                return ",tmax_c";
            case LayerId::tmin:
                return ",tmin_c";
            case LayerId::method:
                return ",method,method_note";
            case LayerId::period:
                return ",period";
            default:
                return "";  // the elevation's column precedes the month
        }
    }

    void append_point(std::string& lines, const Lattice& lattice, const SelectedTile& selected,
                      int slot) const {
        std::string place;
        append_position(
            place, position_e7_of(lattice, point_in_tile(lattice, selected.address, slot)), ",");
        if (const Layer* elevation = variable_of(job_, LayerId::elevation)) {
            place += ',';
            append_value(place, *elevation, value_at(selected.tile, *elevation, slot, 0));
        }
        for (int month = 0; month < kMonths; ++month) {
            lines += place + "," + std::to_string(month + 1) + ",";
            const std::int64_t days4 = quarter_days(month);
            append_decimal(lines, days4, 4, days4 % 4 == 0 ? 0 : 2);
            for (const Layer& layer : job_.variables)
                append_columns(lines, layer, value_at(selected.tile, layer, slot, month), month);
            lines += "," + std::to_string(lattice.id) + "\n";
        }
    }

    void append_columns(std::string& lines, const Layer& layer, std::int32_t value,
                        int month) const {
        switch (layer.id) {
            case LayerId::elevation:
                return;
            case LayerId::eto:
                lines += ',';
                append_month_total(lines, layer, value, month);
                lines += ',';
                append_value(lines, layer, value);
                return;
            case LayerId::eto_se:
                lines += ',';
                append_month_total(lines, layer, value, month);
                return;
            case LayerId::method: {
                const auto found = methods_.find(value);
                lines += ',';
                if (found != methods_.end()) append_csv_text(lines, found->second.name);
                lines += ',';
                if (found != methods_.end()) append_csv_text(lines, found->second.note);
                return;
            }
            case LayerId::period: {
                const auto found = periods_.find(value);
                lines += ',';
                if (found != periods_.end()) append_csv_text(lines, found->second);
                return;
            }
            default:
                lines += ',';
                append_value(lines, layer, value);
        }
    }

    static void append_value(std::string& out, const Layer& layer, std::int32_t value) {
        if (value == kMissingValue) return;
        append_decimal(out, value, layer.divisor, decimals_for(layer.divisor));
    }

    /// The monthly total of a value stored as a daily mean.
    static void append_month_total(std::string& out, const Layer& layer, std::int32_t value,
                                   int month) {
        if (value == kMissingValue) return;
        append_decimal(out, value * quarter_days(month), std::int64_t{4} * layer.divisor,
                       kMmDecimals);
    }

    const ExportJob& job_;
    std::map<std::int32_t, MethodRow> methods_;
    std::map<std::int32_t, std::string> periods_;
};

}  // namespace

Result<void> export_csv(const ExportJob& job) {
    return CsvExport(job).write();
}

}  // namespace thirstline
