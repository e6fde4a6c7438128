// A source of stations, as described in a recipe: the files, the layout of their tables, and the
// content of each column.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "builder/grids/variables_and_units.hpp"
#include "builder/inputs/table_format.hpp"
#include "builder/recipe/flag_meanings.hpp"
#include "builder/recipe/source_terms.hpp"
#include "builder/records/completeness.hpp"
#include "builder/records/record_step.hpp"
#include "builder/reference_et/penman_monteith.hpp"
#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

enum class StationLayout {
    wide,      ///< one row per station, or per station and variable; months in columns
    by_month,  ///< "long": one row per station and month; several variables
};

/// One variable of a source: its column and its unit.
struct StationVariable {
    Variable variable = Variable::tmax;
    std::string unit;
    double scale = 1.0;       ///< factor for the table's numbers, before the offset and the unit
    double offset = 0.0;      ///< added to them, before the unit
    std::string scale_where;  ///< "merrow.toml:37"; empty without a scale and an offset
    std::vector<RowCondition> rows;  ///< the rows that hold it, of those that are chosen
    std::string column;              ///< by_month only
    std::string years_column;        ///< years of record; may be empty
    std::string flag_column;         ///< completeness flag; may be empty
};

/// A second table that has the positions of the stations.
struct PositionsRecipe {
    std::string path;
    TableFormat format;
    std::vector<RowCondition> rows;
    std::vector<std::string> key_columns;      ///< of the second table
    std::vector<std::string> station_columns;  ///< of the first one, with the same values
    std::string lat_column;
    std::string lon_column;
    std::string elevation_column;  ///< may be empty, like the next two
    std::string name_column;
    std::string country_column;
    std::string where;
};

/// The one station of a table that does not name its station.
struct OnlyStation {
    std::string name;
    LatLon position;
    double elevation_m = 0.0;  ///< NaN if unknown
};

enum class DateOrder { year_month_day, month_day_year, day_month_year };

/// What a table of single hours, days or months ([[records]]) needs beyond one of normals. The
/// column of the month is StationRecipe::month_column.
struct RecordRecipe {
    RecordStep step = RecordStep::days;
    int first_year = 0;  ///< of the period
    int last_year = 0;
    std::string date_column;  ///< empty if there are columns of year and month
    std::string year_column;
    std::string day_column;
    std::string day_of_year_column;
    std::string hour_column;  ///< of hours; empty if the date has the time
    bool is_utc = false;      ///< of hours: their times are UTC, not local standard time
    std::optional<double> utc_offset_hours;  ///< of standard time; none: the zone of the longitude
    bool is_stamped_at_end = false;          ///< an hour's time is that of its end
    int min_hours = 20;                      ///< of a day, for a mean
    DateOrder date_order = DateOrder::year_month_day;
    std::string covered_days_column;          ///< days that a reading of rain covers; may be empty
    std::vector<std::string> rejected_flags;  ///< of the variables' flag columns, like the next
    std::vector<std::string> accepted_flags;  ///< if any, all others are rejected
    CompletenessRules completeness;
    ReferenceSurface reference = ReferenceSurface::short_reference;  ///< of reference ET by day
    bool uses_eto_of_days = false;  ///< reference ET by day is used like that of a network
};

struct StationRecipe {
    SourceTerms terms;
    std::string path;  ///< a file, a folder, an archive, or a pattern with * and ? in its last part
    StationLayout layout = StationLayout::wide;
    TableFormat format;
    std::vector<RowCondition> rows;          ///< the rows that are read; empty: all
    std::vector<double> missing;             ///< numbers that mean "missing"
    std::vector<std::string> missing_words;  ///< texts that mean "missing", such as "NA"
    std::vector<double> zero;                ///< numbers that mean 0, such as -7777
    std::vector<std::string> zero_words;     ///< texts that mean 0, such as "T" for a trace
    std::optional<FlagMeanings> flags;       ///< of completeness; none stated: the default
    std::optional<PositionsRecipe> positions;
    std::optional<OnlyStation> only_station;  ///< in place of columns of the station
    std::optional<RecordRecipe> record;       ///< only of [[records]], whose layout is by_month
    std::string country;                      ///< of rows without one
    double height_m = 10.0;                   ///< of wind measurement
    double wind_factor = 1.0;                 ///< factor for wind, 0.2 to 2
    std::string eto_equation;                 ///< only if eto is among the variables
    std::string station_column;               ///< an id; may be empty, like the next two
    std::string name_column;
    std::string country_column;
    std::string lat_column;
    std::string lon_column;
    std::string elevation_column;  ///< may be empty
    std::string elevation_unit = "m";
    std::string month_column;                ///< by_month only
    Monthly<std::string> month_columns;      ///< wide only
    std::vector<StationVariable> variables;  ///< one if wide, or several, each with its `rows`
    std::string where;                       ///< "merrow.toml:34"
};

}  // namespace thirstline
