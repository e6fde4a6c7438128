// The rows of a source of stations, with the station that each describes. Shared by tables of
// normals (station_table.hpp) and by records (record_table.hpp).
//
// A row with an impossible position is rejected completely; an impossible elevation is unknown.
// Fields that would be in the wrong column, and rows that cannot be read, are rejected before
// anything in them is used. All are reported by line.
#pragma once

#include <functional>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "builder/inputs/row_conditions.hpp"
#include "builder/inputs/suspects.hpp"
#include "builder/inputs/text_encoding.hpp"
#include "builder/recipe/station_recipe.hpp"
#include "builder/recipe/used_region.hpp"
#include "builder/records/record_findings.hpp"
#include "builder/stations/record_signs.hpp"
#include "builder/stations/station.hpp"
#include "builder/stations/station_columns.hpp"
#include "builder/stations/station_numbers.hpp"
#include "builder/stations/station_positions.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// What was read of a source, before its stations are merged.
struct StationTable {
    std::vector<Station> stations;  ///< in the order of the files' names, and of their rows
    SourceTally tally;              ///< `used` counts months of normals
    std::int64_t rows_read = 0;
    std::vector<std::string> files;   ///< of TableLine::file: paths, within archives too
    std::vector<std::string> inputs;  ///< as paths in GDAL's file systems: an archive as a whole
    std::vector<std::int64_t> files_without;  ///< by variable of the recipe: lack its column
    std::optional<RecordFindings> record;     ///< only of a source of records
};

class StationRows {
  public:
    /// Rows of stations outside the region are counted, and neither judged nor visited.
    StationRows(const StationRecipe& recipe, const UsedRegion& region, TextRecoder recoder);

    /// Called for each file, after the columns that all sources have were found in its header.
    using FileVisitor = std::function<Result<void>(const HeaderNames& header)>;
    /// Called for each row that is chosen, with its station (without normals) and the recipe's
    /// variables that the row holds: at least one. `is_same`: of a record, whether the row names
    /// the station with the same fields as the last one.
    using RowVisitor = std::function<void(const CsvRow& row, const Station& station, bool is_same,
                                          const std::vector<std::size_t>& variables)>;

    /// Reads all files of the recipe's path.
    /// Errors: io if a file does not exist; bad_input if a column is missing (the nearest is
    /// named), if no row is chosen, if no key has a position, or if stations are in the region
    /// only with latitude and longitude exchanged.
    [[nodiscard]] Result<void> read(const FileVisitor& begin_file, const RowVisitor& take_row);

    [[nodiscard]] std::string field(const CsvRow& row, int column) const {
        return text_in(row, column, recoder_);
    }
    /// Of the file in work.
    [[nodiscard]] const StationColumns& columns() const { return columns_; }
    [[nodiscard]] std::int32_t file() const { return file_; }
    [[nodiscard]] const std::string& file_name() const { return file_name_; }

    [[nodiscard]] StationNumbers& numbers() { return numbers_; }
    [[nodiscard]] const StationNumbers& numbers() const { return numbers_; }
    [[nodiscard]] const RecordSigns& signs() const { return signs_; }
    [[nodiscard]] const TextRecoder& recoder() const { return recoder_; }
    [[nodiscard]] StationTable& table() { return table_; }

    /// Of the file in work; with the variable of a recipe that has one.
    [[nodiscard]] Suspect suspect_at(std::int64_t line, const std::string& station,
                                     const std::string& value, const std::string& rule,
                                     const std::string& action) const;
    void report(const Suspect& found) { table_.tally.reject_and_list(found); }
    /// Whether all stations are outside the region: the table is then empty, which is no fault.
    [[nodiscard]] bool is_all_outside() const {
        return !has_station_in_region_ && table_.tally.outside > 0;
    }
    /// Reports the whole row as not used.
    void refuse_row(const CsvRow& row, const std::string& station, const std::string& value,
                    const std::string& rule);

    /// The table that was read, with its stations in the order of their files' names: the files of
    /// an archive come in any order. `files_of_stations` has the file of each station's first row.
    [[nodiscard]] StationTable take_table(std::vector<Station> stations,
                                          const std::vector<std::int32_t>& files_of_stations);

  private:
    Result<void> read_file(const std::string& path, ByteSource bytes, const FileVisitor& begin,
                           const RowVisitor& take_row);
    Result<void> begin_columns(const HeaderNames& header, const FileVisitor& begin);
    Error with_suspicion(Error error, CsvReader& rows);
    void take(const CsvRow& row, const RowVisitor& take_row);
    bool is_whole(const CsvRow& row);
    [[nodiscard]] std::vector<std::size_t> variables_in(const CsvRow& row);
    [[nodiscard]] std::string identity_fields(const CsvRow& row) const;
    [[nodiscard]] std::optional<Station> station_of(const CsvRow& row);
    [[nodiscard]] std::optional<Station> in_region(Station station);
    [[nodiscard]] Result<void> check_region() const;
    void refuse_key(const CsvRow& row, const std::string& station, const std::string& rule);
    double elevation_m(const CsvRow& row, const std::string& text, const std::string& station);

    const StationRecipe& recipe_;
    UsedRegion region_;
    TextRecoder recoder_;
    StationHeaders headers_;
    StationNumbers numbers_;
    RecordSigns signs_;
    std::optional<StationPositions> positions_;
    RowChoice rows_;
    std::vector<RowChoice> rows_of_variables_;
    std::vector<std::size_t> all_variables_;  ///< if no variable has rows of its own
    std::set<std::string> keys_refused_;
    StationTable table_;
    // Of the file in work.
    std::int32_t file_ = 0;
    std::string file_name_;
    std::size_t fields_ = 0;
    StationColumns columns_;
    bool has_station_in_region_ = false;
    std::int64_t inside_if_exchanged_ = 0;          ///< of the rows outside
    std::int64_t impossible_unless_exchanged_ = 0;  ///< of rows with an impossible position
    // Of the last row that described a station.
    std::string last_fields_;
    std::optional<Station> last_station_;
};

}  // namespace thirstline
