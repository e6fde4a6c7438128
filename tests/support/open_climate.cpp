#include "tests/support/open_climate.hpp"

#include <cctype>
#include <cstdlib>
#include <filesystem>

#include "schema/base/calendar.hpp"

namespace thirstline::test {

namespace {

struct OpenGrid {
    const char* variable;
    const char* file;
    const char* unit;
};
constexpr OpenGrid kGrids[] = {
    {"tmax", "tmx.tif", "degC"},          {"tmin", "tmn.tif", "degC"},
    {"vapour_pressure", "vap.nc", "hPa"}, {"wind", "wnd.tif", "m/s"},
    {"radiation", "rad.tif", "W/m2"},     {"rain", "pre.nc", "mm/day"},
};

struct OpenTable {
    const char* variable;
    const char* file;
    const char* unit;
};
constexpr OpenTable kTables[] = {
    {"tmax", "TMAX.csv", "degC"}, {"tmin", "TMIN.csv", "degC"}, {"rain", "PRCP.csv", "mm"}};

}  // namespace

std::string open_data_folder(std::initializer_list<const char*> parts) {
    const char* named = std::getenv("THIRSTLINE_OPEN_DATA");
    const std::filesystem::path data = named != nullptr ? named : THIRSTLINE_OPEN_DATA_DEFAULT;
    for (const char* part : parts)
        if (!std::filesystem::exists(data / part)) return "";
    return std::filesystem::canonical(data).string();
}

std::string open_grids(const std::string& data) {
    std::string text = "[elevation]\npath = \"" + data + "/elevation/etopo5.tif\"\nunit = \"m\"\n";
    for (const OpenGrid& grid : kGrids) {
        text += std::string("[[grid]]\nname = \"CRU CL 1.0 ") + grid.variable +
                "\"\nvariable = \"" + grid.variable + "\"\npath = \"" + data +
                "/cru-cl1-1961-1990/" + grid.file + "\"\nunit = \"" + grid.unit +
                "\"\nperiod = \"1961-1990\"\nlicence = \"see source\"\n"
                "attribution = \"New, Hulme and Jones 1999, J. Climate 12, 829\"\n";
    }
    return text;
}

std::string open_stations(const std::string& data) {
    std::string months;
    for (const auto& abbreviation : kMonthAbbreviations) {
        std::string key(abbreviation);
        key[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(key[0])));
        months += ", " + key + " = \"" + std::string(abbreviation) + "\"";
    }
    std::string text;
    for (const OpenTable& table : kTables) {
        text += std::string("[[stations]]\nname = \"WMO normals ") + table.variable +
                "\"\nlayout = \"wide\"\nvariable = \"" + table.variable + "\"\npath = \"" + data +
                "/wmo-normals-1991-2020/" + table.file + "\"\nunit = \"" + table.unit +
                "\"\nmissing = [-99.9, -876.5, -9999]\nencoding = \"latin1\"\n"
                "period = \"1991-2020\"\nlicence = \"see source\"\n"
                "attribution = \"WMO climatological normals, NCEI accession 0253808\"\n"
                "columns = { station = \"ID\", name = \"Station\", country = \"Country\", "
                "lat = \"Latitude\", lon = \"Longitude\", elevation = \"Elevation\"" +
                months + " }\n";
    }
    return text;
}

}  // namespace thirstline::test
