// How a stored ETo was computed, as one small code ordered by trust.
//
// code = equation·2^10 + humidity·2^7 + wind·2^5 + radiation·2^2 + correction: a larger code is a
// less trusted method, so the least trusted of several methods is their maximum. The order follows
// the error that each substitute causes against full Penman–Monteith at 925 US sites: temperature
// only 0.45 mm/day, default wind 0.27, dew point estimated from Tmin 0.25, radiation from the
// temperature range 0.12.
#pragma once

#include <cstdint>
#include <string>

namespace thirstline {

enum class EtoEquation : std::uint8_t {
    grid_of_eto = 0,  ///< copied from a published grid
    penman_monteith = 1,
    hargreaves_scaled = 2,  ///< temperature only, scaled to nearby Penman–Monteith
    hargreaves = 3,         ///< temperature only
};

enum class HumidityFrom : std::uint8_t {
    vapour_pressure = 0,
    dew_point = 1,
    relative_humidity = 2,
    nearby_depression = 3,   ///< Tmin minus the dew-point depression of nearby data
    aridity_depression = 4,  ///< Tmin minus a depression estimated from rain and ETo
};

enum class WindFrom : std::uint8_t {
    given = 0,
    nearby = 1,       ///< interpolated from nearby
    two_m_per_s = 2,  ///< the last resort
};

enum class RadiationFrom : std::uint8_t {
    given = 0,
    sunshine = 1,
    cloud = 2,
    temperature_range_fitted = 3,  ///< coefficient fitted to nearby data
    temperature_range = 4,         ///< coefficient 0.16 inland, 0.19 at the coast
};

enum class SiteCorrection : std::uint8_t {
    reference = 0,   ///< adjusted to a well-watered reference surface
    not_wanted = 1,  ///< the recipe uses weather data as measured
    not_done_rain_unknown = 2,
    not_done_grid_of_eto = 3,
};

struct Method {
    EtoEquation equation = EtoEquation::penman_monteith;
    HumidityFrom humidity = HumidityFrom::vapour_pressure;
    WindFrom wind = WindFrom::given;
    RadiationFrom radiation = RadiationFrom::given;
    SiteCorrection correction = SiteCorrection::reference;
    friend bool operator==(const Method&, const Method&) = default;
};

/// 0 to 4095. Fields that the equation does not use (humidity for Hargreaves–Samani) count as 0.
[[nodiscard]] std::uint16_t method_code(const Method& method);
[[nodiscard]] Method method_of_code(std::uint16_t code);

/// "penman-monteith", "hargreaves-samani" or "eto-grid".
[[nodiscard]] std::string method_name(const Method& method);

/// What a reader should know, such as "wind interpolated from nearby, humidity from relative
/// humidity"; empty for full Penman–Monteith from given drivers.
[[nodiscard]] std::string method_note(const Method& method);

/// "reference" or "none", with the reason if the recipe asked for a correction that could not be
/// made: "none (rain unknown)".
[[nodiscard]] std::string site_correction_text(SiteCorrection correction);

}  // namespace thirstline
