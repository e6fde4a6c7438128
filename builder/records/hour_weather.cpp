#include "builder/records/hour_weather.hpp"

#include <algorithm>
#include <cmath>

#include "builder/reference_et/air.hpp"
#include "builder/reference_et/daily_reference_et.hpp"
#include "builder/reference_et/hourly_reference_et.hpp"

namespace thirstline {

namespace {

using Hours = std::array<double, kHoursOfDay>;
using Suns = std::array<HourOfSun, kHoursOfDay>;

int known_hours(const Hours& hours) {
    return static_cast<int>(
        std::count_if(hours.begin(), hours.end(), [](double value) { return !std::isnan(value); }));
}

double sum_of(const Hours& hours) {
    double sum = 0.0;
    for (const double value : hours)
        if (!std::isnan(value)) sum += value;
    return sum;
}

/// NaN unless every hour is known.
double whole_sum(const Hours& hours) {
    return known_hours(hours) == kHoursOfDay ? sum_of(hours) : kUnknown;
}

double mean_of(const Hours& hours, int min_hours) {
    const int known = known_hours(hours);
    return known < min_hours ? kUnknown : sum_of(hours) / known;
}

/// Hours without sun have no light.
Hours with_dark_nights(Hours hours, const Suns& suns) {
    for (std::size_t hour = 0; hour < hours.size(); ++hour)
        if (std::isnan(hours[hour]) && suns[hour].ra_mj_m2 == 0.0) hours[hour] = 0.0;
    return hours;
}

void add_course(const Hours& hours, const Hours& angles, DailyCourse& course) {
    if (known_hours(hours) < kHoursOfDay) return;
    for (std::size_t hour = 0; hour < hours.size(); ++hour) {
        course.sine += hours[hour] * std::sin(angles[hour]);
        course.cosine += hours[hour] * std::cos(angles[hour]);
    }
    ++course.days;
}

bool is_humidity(Variable variable) {
    using enum Variable;
    return variable == vapour_pressure || variable == specific_humidity || variable == dew_point ||
           variable == relative_humidity || variable == vapour_pressure_deficit;
}

}  // namespace

double DailyCourse::hours_after_noon() const {
    constexpr int kEnoughDays = 30;
    // Of an amplitude of 1, the sum over a day is half of its hours.
    if (days < kEnoughDays || std::hypot(sine, cosine) < kHoursOfDay / 2.0 * days) return kUnknown;
    return std::atan2(sine, cosine) / kRadiansPerHour;
}

HourWeather::HourWeather(const std::vector<Variable>& measured, ReferenceSurface surface,
                         int min_hours)
    : surface_(surface), min_hours_(min_hours) {
    using enum Variable;
    column_of_.fill(-1);
    for (std::size_t v = 0; v < measured.size(); ++v)
        column_of_[static_cast<std::size_t>(measured[v])] = static_cast<int>(v);
    const bool has_humidity = std::any_of(measured.begin(), measured.end(), is_humidity);
    if (has(tmax) || has(tmean)) of_days_.push_back(tmax);
    if (has(tmin) || has(tmean)) of_days_.push_back(tmin);
    if (has(tmean)) of_days_.push_back(tmean);
    if (has_humidity) of_days_.push_back(vapour_pressure);
    for (const Variable variable : {wind, radiation, sunshine_hours, rain, eto})
        if (has(variable)) of_days_.push_back(variable);
    has_eto_ = has(tmean) && has_humidity && has(wind) && has(radiation);
}

Hours HourWeather::hours_of(const HoursOfDay& hours, Variable variable) const {
    const int column = column_of_[static_cast<std::size_t>(variable)];
    if (column >= 0) return hours.values[static_cast<std::size_t>(column)];
    Hours unknown;
    unknown.fill(kUnknown);
    return unknown;
}

HourWeather::Day HourWeather::day_of(const HoursOfDay& hours, const Place& place,
                                     State& state) const {
    using enum Variable;
    const int number = number_in_year(hours.day);
    const double lat = place.position.lat_deg;
    Suns suns;
    Hours angles;
    for (std::size_t hour = 0; hour < suns.size(); ++hour) {
        const double middle = static_cast<double>(hour) + 0.5 + place.first_minute / 60.0;
        angles[hour] =
            solar_time_angle_rad(place.position.lon_deg, place.utc_offset_hours, number, middle);
        suns[hour] = hour_of_sun(lat, number, angles[hour]);
    }
    const Hours temperature = hours_of(hours, tmean);
    const Hours highest = has(tmax) ? hours_of(hours, tmax) : temperature;
    const Hours lowest = has(tmin) ? hours_of(hours, tmin) : temperature;
    const Hours wind_speed = hours_of(hours, wind);
    const Hours light = with_dark_nights(hours_of(hours, radiation), suns);
    if (has(radiation)) add_course(light, angles, state.radiation);
    if (has(tmean)) add_course(temperature, angles, state.temperature);

    const double pressure = pressure_kpa(place.elevation_m);
    Hours ea;
    for (std::size_t hour = 0; hour < ea.size(); ++hour) {
        DayHumidity humidity;
        const auto of = [&](Variable variable) { return hours_of(hours, variable)[hour]; };
        humidity.vapour_pressure_kpa = of(vapour_pressure);
        humidity.specific_humidity = of(specific_humidity);
        humidity.dew_point_c = of(dew_point);
        humidity.relative.mean_percent = of(relative_humidity);
        humidity.relative.deficit_kpa = of(vapour_pressure_deficit);
        ea[hour] =
            day_vapour_pressure_kpa(humidity, temperature[hour], temperature[hour], pressure);
    }

    Day day;
    for (const Variable variable : of_days_) {
        double value = kUnknown;
        if (variable == tmax || variable == tmin) {
            const Hours& extremes = variable == tmax ? highest : lowest;
            if (known_hours(extremes) >= min_hours_)
                for (const double each : extremes)
                    if (!std::isnan(each) &&
                        (std::isnan(value) || (variable == tmax ? each > value : each < value)))
                        value = each;
        } else if (variable == tmean) {
            value = mean_of(temperature, min_hours_);
        } else if (variable == vapour_pressure) {
            value = mean_of(ea, min_hours_);
        } else if (variable == wind) {
            value = mean_of(wind_speed, min_hours_);
        } else if (variable == radiation) {
            value = whole_sum(light) / kHoursOfDay;
        } else if (variable == sunshine_hours) {
            value = whole_sum(with_dark_nights(hours_of(hours, variable), suns));
        } else {
            value = whole_sum(hours_of(hours, variable));
        }
        day.values.push_back(value);
    }
    if (!has_eto_) return day;

    Hours cloudiness;
    double first = kUnknown;
    for (std::size_t hour = 0; hour < cloudiness.size(); ++hour) {
        cloudiness[hour] =
            cloudiness_of_hour(light[hour] / kHoursOfDay, suns[hour], place.elevation_m);
        if (std::isnan(first)) first = cloudiness[hour];
    }
    // Before the first light that of the evening before; on a record's first day that of the
    // morning; in polar night what relative_shortwave takes.
    if (std::isnan(state.cloudiness)) state.cloudiness = first;
    if (std::isnan(state.cloudiness)) state.cloudiness = kCloudinessInDarkness;
    Hours eto_of_hours;
    for (std::size_t hour = 0; hour < eto_of_hours.size(); ++hour) {
        if (!std::isnan(cloudiness[hour])) state.cloudiness = cloudiness[hour];
        eto_of_hours[hour] = hourly_reference_et_mm(
            {temperature[hour], ea[hour], wind_speed[hour], light[hour] / kHoursOfDay},
            state.cloudiness, place.elevation_m, hourly_constants(surface_));
    }
    const double sum = whole_sum(eto_of_hours);
    day.eto_mm = sum < 0.0 ? 0.0 : sum;
    return day;
}

}  // namespace thirstline
