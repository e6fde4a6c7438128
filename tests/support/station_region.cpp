#include "tests/support/station_region.hpp"

#include <cmath>
#include <cstdio>

#include "tests/support/program_run.hpp"

namespace thirstline::test {

namespace {

/// At 10 m. Unlike the plain climate's wind it varies: a year of equal months would be taken for a
/// gap-filling value.
double wind_m_per_s(int month) {
    return 3.0 + 0.1 * (month % 3);
}

}  // namespace

double plain_station(Variable variable, int /*station*/, LatLon at, int month) {
    // At 2 m, FAO-56 eq. 47.
    if (variable == Variable::wind)
        return wind_m_per_s(month) * 4.87 / std::log(67.8 * 10.0 - 5.42);
    return plain_climate(variable, at, month);
}

LatLon station_position(int station) {
    // Not at lattice points, and not in line.
    return {45.83 + 0.7 * (station / 4), 10.77 + 0.8 * (station % 4) + 0.1 * (station / 4)};
}

std::string write_station_region(Region& region, const StationField& stations) {
    const RasterShape shape = north_up(8.0, 51.0, 0.5, 16, 16);
    using enum Variable;
    for (const Variable variable : {tmax, tmin, vapour_pressure, radiation, rain})
        region.add_grid(variable, shape, plain(variable));
    region.add_grid(wind, shape, [](LatLon, int month) { return wind_m_per_s(month); });
    std::string table = "name,country,lat,lon,elevation,month,tmax,tmin,ea,u2,rs,rain\n";
    for (int s = 0; s < kStationsOfRegion; ++s) {
        const LatLon at = station_position(s);
        for (int month = 0; month < kMonths; ++month) {
            char row[256];
            const auto value = [&](Variable variable) { return stations(variable, s, at, month); };
            std::snprintf(
                row, sizeof row, "S%d,%s,%.4f,%.4f,100,%d,%.3f,%.3f,%.4f,%.4f,%.4f,%.3f\n", s,
                s == kOddStation ? "Oddland" : "Merrow", at.lat_deg, at.lon_deg, month + 1,
                value(Variable::tmax), value(Variable::tmin), value(Variable::vapour_pressure),
                value(Variable::wind), value(Variable::radiation), value(Variable::rain));
            table += row;
        }
    }
    write_text(region.path("stations.csv"), table);
    region.rest =
        "[[stations]]\nname = \"stations of the Merrow\"\npath = \"stations.csv\"\n"
        "layout = \"long\"\nperiod = \"1991-2020\"\nlicence = \"CC0-1.0\"\n"
        "attribution = \"Merrow Weather Office (invented)\"\nheight_m = 2\n"
        "columns = { name = \"name\", country = \"country\", lat = \"lat\", lon = \"lon\", "
        "elevation = \"elevation\", month = \"month\", tmax = \"tmax\", tmin = \"tmin\", "
        "vapour_pressure = \"ea\", wind = \"u2\", radiation = \"rs\", rain = \"rain\" }\n"
        "units = { tmax = \"degC\", tmin = \"degC\", vapour_pressure = \"kPa\", wind = \"m/s\", "
        "radiation = \"MJ/m2/day\", rain = \"mm/month\" }\n";
    return region.write_recipe();
}

}  // namespace thirstline::test
