// A valid recipe, which tests make invalid.
#pragma once

#include <gtest/gtest.h>

#include <string>

namespace thirstline::test {

inline constexpr const char* kSoundRecipe = R"([baseline]
title = "The Merrow valley"
region = "upland"
publisher = "Merrow Valley Water District"
notice = "Invented."
reference = "short"
site_correction = "none"
soil_heat_flux = "monthly"
period = "1991-2020"

[lattice]
spacing_arcsec = 1800
bbox = [10.5, 45.5, 13.5, 48.5]
reach_km = 50

[elevation]
path = "elevation.tif"
unit = "m"

[output]
layers = ["temperature"]

[[grid]]
name = "Warmth"
variable = "tmax"
path = "tmax.tif"
unit = "degC"
period = "1961-1990"
licence = "CC0-1.0"
attribution = "Merrow Weather Office"

[[grid]]
name = "Cold"
variable = "tmin"
path = "tmin.tif"
unit = "degF"
period = "1961-1990"
licence = "CC0-1.0"
attribution = "Merrow Weather Office"
url = "https://example.org/tmin"

[[grid]]
name = "Wind"
variable = "wind"
path = "/vsizip/wind.zip/wind_{month}.asc"
unit = "m/s"
height_m = 10
wind_factor = 0.8
period = "1961-1990"
licence = "CC0-1.0"
attribution = "Merrow Weather Office"

[[grid]]
name = "Rain"
variable = "rain"
path = "rain_{month:02}.tif"
unit = "mm"
netcdf_variable = "pr"
period = "1981-2010"
licence = "CC-BY-4.0"
attribution = "Merrow Weather Office"

[[postal]]
country = "XM"
path = "postal.csv"
layout = "csv"
columns = { code = "code", lat = "lat", lon = "lon" }
)";

/// `text` with the first occurrence of `from` replaced by `to`.
[[nodiscard]] inline std::string changed(std::string text, const std::string& from,
                                         const std::string& to) {
    const auto at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    return at == std::string::npos ? text : text.replace(at, from.size(), to);
}

}  // namespace thirstline::test
