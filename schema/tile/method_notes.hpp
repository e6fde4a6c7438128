// What a reader should know of a stored ETo, part by part.
#pragma once

#include <string_view>

#include "schema/tile/method.hpp"

namespace thirstline {

/// The parts of method_note; empty for what needs no note.
[[nodiscard]] constexpr std::string_view equation_note(EtoEquation equation) {
    switch (equation) {
        case EtoEquation::grid_of_eto:
            return "taken from a published grid, uncorrected";
        case EtoEquation::hargreaves_scaled:
            return "from temperature alone, scaled to Penman-Monteith nearby";
        case EtoEquation::hargreaves:
            return "from temperature alone";
        case EtoEquation::penman_monteith:
            break;
    }
    return "";
}

[[nodiscard]] constexpr std::string_view humidity_note(HumidityFrom humidity) {
    switch (humidity) {
        case HumidityFrom::vapour_pressure:
            return "";
        case HumidityFrom::dew_point:
            return "humidity from dew point";
        case HumidityFrom::relative_humidity:
            return "humidity from mean relative humidity";
        case HumidityFrom::nearby_depression:
            return "humidity from minimum temperature and nearby dew points";
        case HumidityFrom::aridity_depression:
            return "humidity estimated from minimum temperature and rain";
    }
    return "";
}

[[nodiscard]] constexpr std::string_view wind_note(WindFrom wind) {
    switch (wind) {
        case WindFrom::given:
            return "";
        case WindFrom::nearby:
            return "wind interpolated from nearby";
        case WindFrom::two_m_per_s:
            return "wind unknown, taken as 2 m/s";
    }
    return "";
}

[[nodiscard]] constexpr std::string_view radiation_note(RadiationFrom radiation) {
    switch (radiation) {
        case RadiationFrom::given:
            return "";
        case RadiationFrom::sunshine:
            return "radiation from sunshine";
        case RadiationFrom::cloud:
            return "radiation from cloud cover";
        case RadiationFrom::temperature_range_fitted:
            return "radiation from the daily temperature range, fitted nearby";
        case RadiationFrom::temperature_range:
            return "radiation from the daily temperature range";
    }
    return "";
}

}  // namespace thirstline
