#include "schema/tile/method.hpp"

#include "schema/base/words.hpp"
#include "schema/tile/method_notes.hpp"

namespace thirstline {

namespace {

constexpr int kEquationShift = 10;
constexpr int kHumidityShift = 7;
constexpr int kWindShift = 5;
constexpr int kRadiationShift = 2;

bool uses_all_drivers(EtoEquation equation) {
    return equation == EtoEquation::penman_monteith;
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
    if (!uses_all_drivers(method.equation)) return std::string(equation_note(method.equation));
    std::string note;
    for (const std::string_view part : {humidity_note(method.humidity), wind_note(method.wind),
                                        radiation_note(method.radiation)}) {
        if (!part.empty()) add_word(note, part);
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
