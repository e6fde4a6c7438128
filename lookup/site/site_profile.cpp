#include "lookup/site/site_profile.hpp"

#include <algorithm>

#include "lookup/site/layer_values.hpp"

namespace thirstline {
namespace {

AnsweringPoint answering_point(const Answer& answer, const TileLayout& layout) {
    AnsweringPoint point;
    point.at = answer.at;
    point.interpolated = answer.interpolated;
    point.distance_km = answer.distance_m / 1000.0;
    point.elevation_m = LayerValues(answer, layout, LayerId::elevation).at(0);
    point.shifted_by_m = answer.shifted_by_cm / 100.0;
    point.method = least_method(answer);
    point.period_id = answer.period;
    point.lattice_id = answer.lattice_id;
    return point;
}

/// Empty unless all layers have a value here.
std::optional<SlopesOfSite> slopes_of(const Answer& answer, const TileLayout& layout) {
    const LayerValues eto(answer, layout, LayerId::eto_year_slope);
    const LayerValues rain(answer, layout, LayerId::rain_year_slope);
    const auto deviate = LayerValues(answer, layout, LayerId::normals_deviate).at(0);
    if (!deviate) return std::nullopt;
    SlopesOfSite site;
    site.slopes.deviate_of_normals = *deviate;
    site.error_share = LayerValues(answer, layout, LayerId::year_slope_se).at(0).value_or(0.0);
    for (int m = 0; m < kMonths; ++m) {
        const auto index = static_cast<std::size_t>(m);
        if (!eto.at(m) || !rain.at(m)) return std::nullopt;
        site.slopes.eto_share[index] = *eto.at(m);
        site.slopes.rain_share[index] = *rain.at(m);
    }
    return site;
}

/// Empty unless every month has a value.
template <class Member>
std::optional<double> sum_of(const Monthly<MonthProfile>& months, Member member) {
    double sum = 0.0;
    for (const MonthProfile& month : months) {
        if (!(month.*member)) return std::nullopt;
        sum += *(month.*member);
    }
    return sum;
}

}  // namespace

SiteProfile site_profile(const Answer& answer, const TileLayout& layout) {
    const LayerValues eto(answer, layout, LayerId::eto);
    const LayerValues eto_se(answer, layout, LayerId::eto_se);
    const LayerValues rain(answer, layout, LayerId::rain);
    const LayerValues rain_se(answer, layout, LayerId::rain_se);
    const LayerValues tmax(answer, layout, LayerId::tmax);
    const LayerValues tmin(answer, layout, LayerId::tmin);

    SiteProfile profile;
    profile.point = answering_point(answer, layout);
    profile.has_temperature = tmax.exist() && tmin.exist();
    for (int m = 0; m < kMonths; ++m) {
        const auto index = static_cast<std::size_t>(m);
        MonthProfile& month = profile.months[index];
        month.eto_mm_per_day = eto.at(m);
        month.eto_mm = eto.at(m, kDaysInMonth[index]);
        month.eto_se_mm = eto_se.at(m, kDaysInMonth[index]);
        month.rain_mm = rain.at(m);
        month.rain_se_mm = rain_se.at(m);
        month.tmax_c = tmax.at(m);
        month.tmin_c = tmin.at(m);
        month.method = method_of_code(answer.method[index]);
    }
    profile.slopes = slopes_of(answer, layout);
    derive_year(profile);
    return profile;
}

Method least_method(const Answer& answer) {
    return method_of_code(*std::max_element(answer.method.begin(), answer.method.end()));
}

void derive_year(SiteProfile& profile) {
    profile.annual_eto_mm = sum_of(profile.months, &MonthProfile::eto_mm);
    profile.annual_rain_mm = sum_of(profile.months, &MonthProfile::rain_mm);

    double peak_mm_per_day = 0.0;
    profile.peak_month.reset();
    for (int m = 0; m < kMonths; ++m) {
        const double rate = profile.months[static_cast<std::size_t>(m)].eto_mm_per_day.value_or(0);
        if (rate <= peak_mm_per_day) continue;
        peak_mm_per_day = rate;
        profile.peak_month = m + 1;
    }
    for (MonthProfile& month : profile.months) {
        month.percent_of_peak.reset();
        if (profile.peak_month && month.eto_mm_per_day)
            month.percent_of_peak = *month.eto_mm_per_day * 100.0 / peak_mm_per_day;
    }
}

}  // namespace thirstline
