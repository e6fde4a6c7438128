#include "schema/tile/method.hpp"

#include "schema/base/words.hpp"

namespace thirstline {

namespace {

constexpr int kEquationShift = 10;
constexpr int kHumidityShift = 7;
constexpr int kWindShift = 5;
constexpr int kRadiationShift = 2;

bool uses_all_drivers(EtoEquation equation) {
    return equation == EtoEquation::penman_monteith;
}

std::string humidity_note(HumidityFrom humidity) {
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

std::string wind_note(WindFrom wind) {
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

std::string radiation_note(RadiationFrom radiation) {
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

}  // namespace

std::uint16_t method_code(const Method& method) {
    unsigned code = static_cast<unsigned>(method.equation) << kEquationShift |
                    static_cast<unsigned>(method.correction);
    if (uses_all_drivers(method.equation)) {
        code |= static_cast<unsigned>(method.humidity) << kHumidityShift |
                static_cast<unsigned>(method.wind) << kWindShift |
                static_cast<unsigned>(method.radiation) << kRadiationShift;
    }
    return static_cast<std::uint16_t>(code);
}

Method method_of_code(std::uint16_t code) {
    return {static_cast<EtoEquation>((code >> kEquationShift) & 3),
            static_cast<HumidityFrom>((code >> kHumidityShift) & 7),
            static_cast<WindFrom>((code >> kWindShift) & 3),
            static_cast<RadiationFrom>((code >> kRadiationShift) & 7),
            static_cast<SiteCorrection>(code & 3)};
}

std::string method_name(const Method& method) {
    switch (method.equation) {
        case EtoEquation::grid_of_eto:
            return "eto-grid";
        case EtoEquation::penman_monteith:
            return "penman-monteith";
        case EtoEquation::hargreaves_scaled:
        case EtoEquation::hargreaves:
            return "hargreaves-samani";
    }
    return "";
}

std::string method_note(const Method& method) {
    switch (method.equation) {
        case EtoEquation::grid_of_eto:
            return "taken from a published grid, uncorrected";
        case EtoEquation::hargreaves_scaled:
            return "from temperature alone, scaled to Penman-Monteith nearby";
        case EtoEquation::hargreaves:
            return "from temperature alone";
        case EtoEquation::penman_monteith:
            break;
    }
    std::string note;
    for (const std::string& part : {humidity_note(method.humidity), wind_note(method.wind),
                                    radiation_note(method.radiation)}) {
        if (part.empty()) continue;
        add_word(note, part);
    }
    return note;
}

std::string site_correction_text(SiteCorrection correction) {
    switch (correction) {
        case SiteCorrection::reference:
            return "reference";
        case SiteCorrection::not_wanted:
            return "none";
        case SiteCorrection::not_done_rain_unknown:
            return "none (rain unknown)";
        case SiteCorrection::not_done_grid_of_eto:
            return "none (grid of ETo)";
    }
    return "";
}

}  // namespace thirstline
