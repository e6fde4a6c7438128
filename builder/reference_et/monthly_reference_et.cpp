#include "builder/reference_et/monthly_reference_et.hpp"

#include <cmath>

#include "builder/reference_et/dew_point_depression.hpp"
#include "builder/reference_et/hargreaves.hpp"
#include "builder/reference_et/site_correction.hpp"
#include "builder/reference_et/soil_heat.hpp"
#include "builder/reference_et/weather_terms.hpp"
#include "builder/reference_et/wind.hpp"

namespace thirstline {
namespace {

bool known(double value) {
    return !std::isnan(value);
}

/// A point with the data of its surroundings that complete it.
struct Place {
    const PointClimate& point;
    const MonthlySun& sun;
    const Surroundings& surroundings;
    SoilHeat soil_heat;
    double psychrometric_kpa_per_c;
    Monthly<double> tmean_c;

    Place(const PointClimate& at, const MonthlySun& sun_there, const Surroundings& around,
          SoilHeat soil_heat_wanted)
        : point(at),
          sun(sun_there),
          surroundings(around),
          soil_heat(soil_heat_wanted),
          psychrometric_kpa_per_c(psychrometric_constant_kpa_per_c(pressure_kpa(at.elevation_m))),
          tmean_c{} {
        for (int month = 0; month < kMonths; ++month)
            tmean_c[month] = (at.tmax_c[month] + at.tmin_c[month]) / 2.0;
    }
};

double hargreaves_of(const Place& place, int month) {
    return hargreaves_eto_mm_per_day(place.point.tmax_c[month], place.point.tmin_c[month],
                                     place.sun.ra_mj_m2_day[month]);
}

/// The inputs of the equation for one month.
struct Drivers {
    double rs_mj_m2_day = kUnknown;
    double vapour_pressure_kpa = kUnknown;
    double u2_m_per_s = kUnknown;
};

RadiationFrom choose_radiation(const Place& place, int month, Drivers& drivers) {
    const PointClimate& point = place.point;
    const double ra = place.sun.ra_mj_m2_day[month];
    if (known(point.rs_mj_m2_day[month])) {
        drivers.rs_mj_m2_day = point.rs_mj_m2_day[month];
        return RadiationFrom::given;
    }
    if (known(point.sunshine_hours_per_day[month])) {
        drivers.rs_mj_m2_day =
            rs_from_sunshine_fraction(sunshine_fraction_of(point.sunshine_hours_per_day[month],
                                                           place.sun.daylight_hours[month]),
                                      ra);
        return RadiationFrom::sunshine;
    }
    if (known(point.sunshine_fraction[month])) {
        drivers.rs_mj_m2_day = rs_from_sunshine_fraction(point.sunshine_fraction[month], ra);
        return RadiationFrom::sunshine;
    }
    if (known(point.cloud_fraction[month])) {
        drivers.rs_mj_m2_day = rs_from_cloud(point.cloud_fraction[month], ra);
        return RadiationFrom::cloud;
    }
    const double fitted = place.surroundings.radiation_coefficient[month];
    const double by_rule = point.coastal ? kRangeCoefficientCoastal : kRangeCoefficientInland;
    drivers.rs_mj_m2_day = rs_from_temperature_range(point.tmax_c[month], point.tmin_c[month], ra,
                                                     known(fitted) ? fitted : by_rule);
    return known(fitted) ? RadiationFrom::temperature_range_fitted
                         : RadiationFrom::temperature_range;
}

/// The vapour pressure from the place's own humidity data; NaN if there is none.
double own_vapour_pressure_kpa(const Place& place, int month, HumidityFrom& from) {
    const PointClimate& point = place.point;
    if (known(point.vapour_pressure_kpa[month])) {
        from = HumidityFrom::vapour_pressure;
        return point.vapour_pressure_kpa[month];
    }
    if (known(point.dew_point_c[month])) {
        from = HumidityFrom::dew_point;
        return vapour_pressure_from_dew_point_kpa(point.dew_point_c[month]);
    }
    from = HumidityFrom::relative_humidity;
    return vapour_pressure_from_rh_mean_kpa(place.tmean_c[month],
                                            point.relative_humidity_percent[month]);
}

HumidityFrom choose_humidity(const Place& place, int month, Drivers& drivers) {
    HumidityFrom from = HumidityFrom::vapour_pressure;
    drivers.vapour_pressure_kpa = own_vapour_pressure_kpa(place, month, from);
    if (known(drivers.vapour_pressure_kpa)) return from;

    double depression_c = place.surroundings.dew_point_depression_c[month];
    from = HumidityFrom::nearby_depression;
    if (!known(depression_c)) {
        Monthly<double> eto = kUnknownYear;
        const int last = previous_month(month);
        eto[month] = hargreaves_of(place, month);
        eto[last] = hargreaves_of(place, last);
        depression_c = depression_from_aridity_c(two_month_rain_mm(place.point.rain_mm, month),
                                                 two_month_eto_mm(eto, month));
        from = HumidityFrom::aridity_depression;
    }
    drivers.vapour_pressure_kpa =
        vapour_pressure_from_dew_point_kpa(place.point.tmin_c[month] - depression_c);
    return from;
}

WindFrom choose_wind(const Place& place, int month, Drivers& drivers) {
    if (known(place.point.u2_m_per_s[month])) {
        drivers.u2_m_per_s = wind_for_equation_m_per_s(place.point.u2_m_per_s[month]);
        return WindFrom::given;
    }
    if (known(place.surroundings.u2_m_per_s[month])) {
        drivers.u2_m_per_s = wind_for_equation_m_per_s(place.surroundings.u2_m_per_s[month]);
        return WindFrom::nearby;
    }
    drivers.u2_m_per_s = kWindOfLastResortMPerS;
    return WindFrom::two_m_per_s;
}

bool knows_more_than_temperature(const PointClimate& point, int month) {
    return known(point.vapour_pressure_kpa[month]) || known(point.dew_point_c[month]) ||
           known(point.relative_humidity_percent[month]) || known(point.u2_m_per_s[month]) ||
           known(point.rs_mj_m2_day[month]) || known(point.sunshine_hours_per_day[month]) ||
           known(point.sunshine_fraction[month]) || known(point.cloud_fraction[month]);
}

bool can_drive_penman_monteith(const Place& place, int month) {
    return knows_more_than_temperature(place.point, month) ||
           (known(place.surroundings.dew_point_depression_c[month]) &&
            known(place.surroundings.u2_m_per_s[month]));
}

PenmanMonteithTerms terms_of_month(const Place& place, int month, const Drivers& drivers,
                                   double site_shift_c) {
    const double tmax_c = place.point.tmax_c[month] - site_shift_c;
    const double tmin_c = place.point.tmin_c[month] - site_shift_c;
    const double ea = site_shift_c == 0.0
                          ? drivers.vapour_pressure_kpa
                          : vapour_pressure_from_dew_point_kpa(
                                dew_point_c(drivers.vapour_pressure_kpa) + site_shift_c);
    Weather weather{tmax_c,
                    tmin_c,
                    ea,
                    drivers.u2_m_per_s,
                    drivers.rs_mj_m2_day,
                    place.sun.ra_mj_m2_day[month]};
    // Soil heat follows the season and is not changed by the month's site correction.
    if (place.soil_heat == SoilHeat::monthly)
        weather.soil_heat_flux_mj_m2_day = soil_heat_flux_mj_m2_day(place.tmean_c, month);
    return penman_monteith_terms(weather, place.point.elevation_m, place.psychrometric_kpa_per_c);
}

double hargreaves_et(const Place& place, int month, ReferenceSurface surface,
                     EtoEquation& equation) {
    const double ratio = place.surroundings.penman_monteith_to_hargreaves[month];
    if (known(ratio)) {
        equation = EtoEquation::hargreaves_scaled;
        const double scaled = hargreaves_of(place, month) * ratio;
        return scaled < 0.0 ? 0.0 : scaled;
    }
    equation = EtoEquation::hargreaves;
    return surface == ReferenceSurface::short_reference ? hargreaves_of(place, month) : kUnknown;
}

/// Neither of Method's reasons fits a month computed with Hargreaves–Samani, which has no humidity
/// to correct. "Not wanted" prints as no correction without a reason, which is accurate.
Method hargreaves_method(EtoEquation equation) {
    Method method;
    method.equation = equation;
    method.correction = SiteCorrection::not_wanted;
    return method;
}

/// Everything about a month before the site correction.
struct MeasuredMonth {
    Method method = hargreaves_method(EtoEquation::hargreaves);
    Drivers drivers;
    double et_mm_per_day = kUnknown;
    double short_eto_mm_per_day = kUnknown;  ///< dryness compares rain with the short reference
};

MeasuredMonth measured_month(const Place& place, int month, ReferenceSurface surface) {
    MeasuredMonth result;
    if (!known(place.tmean_c[month])) return result;
    if (!can_drive_penman_monteith(place, month)) {
        EtoEquation equation = EtoEquation::hargreaves;
        result.et_mm_per_day = hargreaves_et(place, month, surface, equation);
        result.short_eto_mm_per_day = surface == ReferenceSurface::short_reference
                                          ? result.et_mm_per_day
                                          : hargreaves_of(place, month);
        result.method = hargreaves_method(equation);
        return result;
    }
    result.method.equation = EtoEquation::penman_monteith;
    result.method.radiation = choose_radiation(place, month, result.drivers);
    result.method.humidity = choose_humidity(place, month, result.drivers);
    result.method.wind = choose_wind(place, month, result.drivers);
    result.method.correction = SiteCorrection::not_wanted;
    const PenmanMonteithTerms terms = terms_of_month(place, month, result.drivers, 0.0);
    result.short_eto_mm_per_day =
        penman_monteith_mm_per_day(terms, ReferenceSurface::short_reference);
    result.et_mm_per_day = surface == ReferenceSurface::short_reference
                               ? result.short_eto_mm_per_day
                               : penman_monteith_mm_per_day(terms, surface);
    return result;
}

double et_with_shift(const Place& place, int month, const MeasuredMonth& measured,
                     ReferenceSurface surface, double site_shift_c) {
    if (site_shift_c == 0.0) return measured.et_mm_per_day;
    return penman_monteith_mm_per_day(terms_of_month(place, month, measured.drivers, site_shift_c),
                                      surface);
}

}  // namespace

ReferenceEtProfile reference_et_profile(const PointClimate& point, const MonthlySun& sun,
                                        const Surroundings& surroundings,
                                        const EtOptions& options) {
    const Place place(point, sun, surroundings, options.soil_heat);
    ReferenceEtProfile profile;
    Monthly<MeasuredMonth> measured;
    Monthly<double> short_eto_mm_per_day{};
    for (int month = 0; month < kMonths; ++month) {
        measured[month] = measured_month(place, month, options.reference);
        short_eto_mm_per_day[month] = measured[month].short_eto_mm_per_day;
        profile.eto_uncorrected_mm_per_day[month] = measured[month].et_mm_per_day;
        profile.method[month] = measured[month].method;
    }
    profile.eto_mm_per_day = profile.eto_uncorrected_mm_per_day;
    if (!options.site_correction) return profile;

    for (int month = 0; month < kMonths; ++month) {
        Method& method = profile.method[month];
        if (method.equation != EtoEquation::penman_monteith) continue;
        const double rain_mm = two_month_rain_mm(point.rain_mm, month);
        const double eto_mm = two_month_eto_mm(short_eto_mm_per_day, month);
        if (!known(rain_mm) || !known(eto_mm)) {
            // Rain is only used relative to ETo, which may be unknown for last month.
            method.correction = SiteCorrection::not_done_rain_unknown;
            continue;
        }
        method.correction = SiteCorrection::reference;
        const double weight = dryness_weight(rain_mm, eto_mm);
        if (weight == 0.0) continue;
        const double shift =
            site_shift_c(place.tmean_c[month], point.tmin_c[month],
                         dew_point_c(measured[month].drivers.vapour_pressure_kpa), weight);
        profile.site_shift_c[month] = shift;
        profile.eto_mm_per_day[month] =
            et_with_shift(place, month, measured[month], options.reference, shift);
    }
    return profile;
}

}  // namespace thirstline
