#include "builder/recipe/recipe_keys.hpp"

#include <array>

namespace thirstline {

namespace {

constexpr std::string_view kRequired = "required";

constexpr auto kBaseline = std::to_array<RecipeKey>({
    {"title", "text", kRequired, "Title of the file."},
    {"region", "text", "", "Name of the region."},
    {"publisher", "text", "", "Who publishes the file."},
    {"notice", "text", "", "A sentence that every answer shows."},
    {"period", "text", kRequired,
     "Years of the normals, such as \"1991-2020\". Sources of other years are reported by kind."},
    {"edition", "text", "", "Such as \"2026.1\"."},
    {"date", "date", "", "Date of the edition, such as 2026-12-01."},
    {"doi", "text", "", "DOI of the edition."},
    {"contact", "text", "", "Address for questions."},
    {"licence", "text", "", "License of the file; each source has its own."},
    {"reference", "\"short\" | \"tall\"", "\"short\"",
     "Reference surface of ETo: grass of 0.12 m, or alfalfa of 0.50 m (ASCE-EWRI 2005)."},
    {"site_correction", "\"reference\" | \"none\"", "\"reference\"",
     "Whether temperature and humidity in dry months are moved towards irrigated conditions."},
    {"soil_heat_flux", "\"none\" | \"monthly\"", "\"none\"",
     "\"monthly\" adds the soil heat flux of FAO-56 equation 43."},
});

constexpr auto kLattice = std::to_array<RecipeKey>({
    {"spacing_arcsec", "number", kRequired, "Distance of the points, 1 to 36000 arc-seconds."},
    {"bbox", "[W, S, E, N]", kRequired,
     "Box in degrees; whole arc-seconds. A west edge east of the east edge crosses the "
     "antimeridian."},
    {"reach_km", "number", "50",
     "Greatest distance from a point with data at which the file answers. Postal codes farther "
     "away are left out."},
    {"station_margin_km", "number", "500",
     "Stations within this distance of the box are used; others are neither checked nor used."},
});

constexpr auto kElevation = std::to_array<RecipeKey>({
    {"path", "text", kRequired, "Raster of elevation."},
    {"unit", "\"m\" | \"ft\"", "\"m\"", "Unit of its values."},
    {"unit_of_file", "\"wrong\"", "", "Use unit, although the file states another."},
});

constexpr auto kOutput = std::to_array<RecipeKey>({
    {"layers", "list of texts", "[\"temperature\"]",
     "\"temperature\": temperatures, for frost and growing season. \"years\": wet and dry years, "
     "from records."},
    {"code", "\"plain\" | \"compact\"", "\"plain\"",
     "\"plain\" can be read by SQL alone; \"compact\" is about an eighth of the size."},
});

constexpr auto kGrid = std::to_array<RecipeKey>({
    {"variable", "text", kRequired, "One of the variables below, except elevation."},
    {"path", "text", kRequired,
     "A raster of 12 bands, a netCDF file with 12 times, or one file per month with {month} or "
     "{month:02} in its name. Dated months of several years, also one file a year with {year}, "
     "become normals of the source's period."},
    {"unit", "text", kRequired, "Unit of the values, after scale and offset."},
    {"scale", "number", "1", "Factor for the file's numbers, if the file states none."},
    {"offset", "number", "0", "Added after the factor."},
    {"scale_of_file", "\"wrong\"", "", "Ignore the scale and offset that the file states."},
    {"unit_of_file", "\"wrong\"", "", "Use unit, although the file states another."},
    {"netcdf_variable", "text", "", "Which variable of a netCDF file with several."},
    {"height_m", "number", "10", "Of wind: height of the measurement above ground."},
    {"wind_factor", "number", "1",
     "Of wind: factor for the speed, 0.2 to 2, where the site is more open than a lawn. Older "
     "recipes call it exposure."},
    {"reference", "\"short\" | \"tall\"", kRequired, "Of eto: its reference surface."},
    {"equation", "text", kRequired, "Of eto: its equation, such as \"ASCE-EWRI 2005\"."},
});

constexpr auto kStations = std::to_array<RecipeKey>({
    {"layout", "\"wide\" | \"long\"", kRequired,
     "\"wide\": a row with twelve columns of months for each station, or for each station and "
     "variable. \"long\": a row for each station and month."},
    {"variable", "text", "", "Of a wide table with one variable: which."},
    {"unit", "text", "", "Of a wide table with one variable: its unit."},
    {"flags", "text or { … }", "",
     "What completeness flags mean: \"eccc\", \"ncei-1981\", \"ncei-1991\", or a table such as "
     "{ A = \"standard\", C = \"short\", X = \"not stated\" }."},
});

constexpr auto kRecords = std::to_array<RecipeKey>({
    {"step", "\"hour\" | \"day\" | \"month\"", kRequired, "What a row holds."},
    {"time", "\"local\" | \"utc\"", kRequired, "Of hours: local standard time or UTC."},
    {"utc_offset_hours", "number", "",
     "Of hours: local standard time minus UTC, -12 to 14; required with local time. Without it, "
     "the days of UTC tables are those of the longitude's time zone."},
    {"hour_stamp", "\"start\" | \"end\"", kRequired,
     "Of hours: whether the stated time begins or ends the hour."},
    {"min_hours", "number", "20", "Of hours: hours that a mean of the day needs, 1 to 24."},
    {"date_order", "text", "\"year-month-day\"",
     "Or \"month-day-year\", \"day-month-year\": of a date that does not begin with the year."},
    {"completeness", "\"wmo\" | \"strict\" | { … }", "\"wmo\"",
     "Which months and years are complete enough."},
    {"max_missing", "number", "0", "Days that a sum may lack; it is scaled to the whole month."},
    {"rejected_flags", "list of texts", "", "Values with these flags are not used."},
    {"accepted_flags", "list of texts", "", "Values with other flags than these are not used."},
    {"station", "{ … }", "", "The one station of a table without columns that name it."},
    {"ground", "\"irrigated\" | \"not stated\"", "\"not stated\"",
     "\"irrigated\": reference ET by day is used like that of a network."},
});

constexpr auto kPostal = std::to_array<RecipeKey>({
    {"country", "text", kRequired, "Two letters (ISO 3166), of rows without a country."},
    {"path", "text", kRequired, "The table."},
    {"layout", "text", kRequired,
     "\"csv\" with columns, \"geonames\" or \"census-gazetteer\"; only \"csv\" has keys of the "
     "table's form."},
    {"columns", "{ … }", "", "Of \"csv\": names of the columns."},
});

constexpr auto kPostalColumns = std::to_array<RecipeKey>({
    {"code", "text", kRequired, "The postal code."},
    {"lat", "text", kRequired, "Latitude, degrees."},
    {"lon", "text", kRequired, "Longitude, degrees."},
    {"place", "text", "", "Name of the place."},
    {"country", "text", "", "Two letters of the country."},
});

constexpr auto kTables = std::to_array<RecipeKey>({
    {"path", "text", kRequired,
     "A file, a folder, an archive (.zip, .tar.gz, .tgz), or a pattern in either."},
    {"columns", "{ … }", kRequired, "Names of the columns."},
    {"units", "{ … }", "", "Unit of each variable, and of elevation (m, if not given)."},
    {"where", "{ … }", "",
     "Rows that are read, by column: { ELEMENT = \"Rain\" } or a list of values; and for one "
     "variable: { tmax = { ELEMENT = \"Daily maximum\" } }."},
    {"positions", "{ … }", "", "A second table with the positions of the stations."},
    {"missing", "list", "", "Numbers and texts that mean \"no value\"."},
    {"zero", "list", "", "Numbers and texts that mean 0, such as \"T\" for a trace of rain."},
    {"scale", "number or { … }", "1", "Factor for the numbers, of one or of each variable."},
    {"offset", "number or { … }", "0", "Added after the factor."},
    {"country", "text", "", "Country of stations without a column of it."},
    {"height_m", "number", "10", "Of wind: height of the measurement above ground."},
    {"wind_factor", "number", "1", "Of wind: factor for the speed, 0.2 to 2."},
    {"reference", "\"short\" | \"tall\"", kRequired, "Of eto: its reference surface."},
    {"equation", "text", kRequired, "Of eto: its equation."},
});

constexpr auto kColumns = std::to_array<RecipeKey>({
    {"station", "text", "", "Identifier of the station."},
    {"name", "text", "", "Name of the station."},
    {"country", "text", "", "Country of the station."},
    {"lat", "text", kRequired, "Latitude, degrees; not with positions or station."},
    {"lon", "text", kRequired, "Longitude, degrees; likewise."},
    {"elevation", "text", "", "Elevation above sea level."},
    {"jan", "text", kRequired, "Of a wide table: the column of January; and so on to dec."},
    {"month", "text", kRequired, "Of a long table and of records: the month's number."},
    {"date", "text", "", "Of records: the date."},
    {"year", "text", "", "Of records without date: the year."},
    {"day", "text", "", "Of records of days without date: the day of the month."},
    {"yday", "text", "",
     "Of records of days without date: the day of the year, for month and day."},
    {"hour", "text", "", "Of records of hours: the hour, if the date has no time."},
    {"rain_covers_days", "text", "", "Of records: number of days that a reading of rain covers."},
    {"years", "text", "", "Years of record; years_tmax of one variable, and so on."},
    {"flag", "text", "", "Flag; flag_tmax of one variable, and so on."},
    {"tmax", "text", "",
     "Of a long table and of records: a column for each variable, by its name."},
});

constexpr auto kPositions = std::to_array<RecipeKey>({
    {"path", "text", kRequired, "The second table."},
    {"key", "text or { … }", kRequired,
     "The column that both tables have; or { HERE = \"THERE\" }; several must all agree."},
    {"lat", "text", kRequired, "Column of the latitude."},
    {"lon", "text", kRequired, "Column of the longitude."},
    {"elevation", "text", "", "Column of the elevation."},
    {"name", "text", "", "Column of the name."},
    {"country", "text", "", "Column of the country."},
    {"where", "{ … }", "", "Rows that are read, by column."},
});

constexpr auto kOnlyStation = std::to_array<RecipeKey>({
    {"name", "text", kRequired, "Name of the station."},
    {"lat", "number", kRequired, "Latitude, degrees."},
    {"lon", "number", kRequired, "Longitude, degrees."},
    {"elevation_m", "number", "", "Elevation above sea level."},
});

constexpr auto kCompleteness = std::to_array<RecipeKey>({
    {"max_missing", "number", "10", "Days that a monthly mean may lack."},
    {"max_missing_in_a_row", "number", "4", "Of these, consecutive days."},
    {"max_missing_of_sum", "number", "0", "Days that a monthly sum may lack."},
    {"share_of_years", "number", "0.8", "Share of the period for a standard normal."},
    {"min_years", "number", "10", "Years of a calendar month for any normal."},
});

constexpr auto kTerms = std::to_array<RecipeKey>({
    {"name", "text", kRequired, "Name of the source."},
    {"period", "text", kRequired,
     "Its years; of [[records]] the years that are used. Not in [elevation] and [[postal]]."},
    {"licence", "text", kRequired, "Its license, such as \"CC-BY-4.0\"."},
    {"attribution", "text", kRequired, "How it must be credited."},
    {"url", "text or list", "",
     "Where it comes from. With a path in {data}, what fetch downloads: texts, or { from = "
     "\"address\", as = \"file\" }."},
});

constexpr auto kUrl = std::to_array<RecipeKey>({
    {"from", "text", kRequired, "The address."},
    {"as", "text", kRequired, "Name of the downloaded file."},
});

constexpr auto kForm = std::to_array<RecipeKey>({
    {"separator", "text", "\",\"", "Character between fields; \"\\t\" is a tab."},
    {"decimal", "\".\" | \",\"", "\".\"", "Decimal sign."},
    {"encoding", "text", "\"UTF-8\"", "Character encoding, such as \"latin1\"."},
    {"skip_rows", "number", "0", "Lines before the header."},
    {"header", "text", "", "How the line of the header begins, if its number varies."},
    {"fixed_width", "{ … }", "",
     "Columns by their first and last character, such as { ID = \"1-11\" }, without a header."},
});

constexpr auto kGroups = std::to_array<RecipeKeyGroup>({
    {"[baseline]", "What the file is. Required.", kBaseline, ""},
    {"[lattice]", "The points of the file. Required.", kLattice, ""},
    {"[elevation]", "The terrain. Required with temperatures or stations.", kElevation,
     "terms of a source"},
    {"[output]", "What the file holds.", kOutput, ""},
    {"[[grid]]",
     "A gridded source of one variable. Of several of one variable, the first with "
     "data is used.",
     kGrid, "terms of a source"},
    {"[[stations]]", "Tables of station normals.", kStations,
     "terms of a source, tables of stations, form of a table"},
    {"[[records]]", "Tables of single hours, days or months, of which normals are calculated.",
     kRecords, "terms of a source, tables of stations, form of a table"},
    {"[[postal]]", "Postal codes and their centroids.", kPostal,
     "terms of a source, form of a table"},
    {"tables of stations", "Keys of [[stations]] and [[records]].", kTables, ""},
    {"columns", "Columns of [[stations]] and [[records]]: the names in the table's header.",
     kColumns, ""},
    {"positions", "A second table, of [[stations]] and [[records]].", kPositions,
     "form of a table"},
    {"completeness", "Of [[records]], instead of a name.", kCompleteness, ""},
    {"station", "Of [[records]].", kOnlyStation, ""},
    {"columns of [[postal]]", "", kPostalColumns, ""},
    {"terms of a source",
     "Who made it, and what it may be used for. Optional in [elevation] and "
     "[[postal]].",
     kTerms, ""},
    {"url", "An address with the name of its file.", kUrl, ""},
    {"form of a table", "How a table of text is written.", kForm, ""},
});

}  // namespace

std::span<const RecipeKeyGroup> recipe_key_groups() {
    return kGroups;
}

}  // namespace thirstline
