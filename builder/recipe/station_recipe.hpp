// A source of stations, as described in a recipe: the files, the layout of their tables, and the
// content of each column.
#pragma once

#include <string>
#include <vector>

#include "builder/grids/variables_and_units.hpp"
#include "builder/recipe/source_terms.hpp"
#include "schema/base/calendar.hpp"

namespace thirstline {

enum class StationLayout {
    wide,      ///< one row per station, months in columns; one variable per source
    by_month,  ///< "long": one row per station and month; several variables
};

/// One variable of a source: its column and its unit.
struct StationVariable {
    Variable variable = Variable::tmax;
    std::string unit;
    double scale = 1.0;        ///< factor for the table's numbers, before the unit
    std::string column;        ///< by_month only
    std::string years_column;  ///< years of record; may be empty
    std::string flag_column;   ///< completeness flag; may be empty
};

struct StationRecipe {
    SourceTerms terms;
    std::string path;  ///< a file, a folder, an archive, or a pattern with * and ? in its last part
    StationLayout layout = StationLayout::wide;
    std::string encoding = "UTF-8";
    std::vector<double> missing;             ///< numbers that mean "missing"
    std::vector<std::string> missing_words;  ///< texts that mean "missing", such as "NA"
    std::string country;                     ///< of rows without one
    double height_m = 10.0;                  ///< of wind measurement
    double exposure = 1.0;                   ///< factor for wind, 0.2 to 2
    std::string eto_equation;                ///< only if eto is among the variables
    std::string station_column;              ///< an id; may be empty, like the next two
    std::string name_column;
    std::string country_column;
    std::string lat_column;
    std::string lon_column;
    std::string elevation_column;  ///< may be empty
    std::string elevation_unit = "m";
    std::string month_column;                ///< by_month only
    Monthly<std::string> month_columns;      ///< wide only
    std::vector<StationVariable> variables;  ///< exactly one if wide
    std::string where;                       ///< "merrow.toml:34"
};

}  // namespace thirstline
