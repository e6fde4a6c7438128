#include "lookup/library/open_file.hpp"

#include <limits>
#include <utility>

#include "lookup/library/plain_structs.hpp"
#include "lookup/site/site_profile.hpp"
#include "schema/tile/method.hpp"

namespace thirstline {

namespace {

double number_or_nan(const std::optional<double>& value) {
    return value.value_or(std::numeric_limits<double>::quiet_NaN());
}

void fill_query(thirstline_site& site, const SiteQuery& query) {
    site.lat_e7 = query.position ? query.position->lat_e7 : THIRSTLINE_UNKNOWN;
    site.lon_e7 = query.position ? query.position->lon_e7 : THIRSTLINE_UNKNOWN;
    copy_text(site.postal, query.postal.value_or(""));
    copy_text(site.country, query.country.value_or(""));
    site.elevation_m = query.elevation_m.value_or(THIRSTLINE_UNKNOWN);
}

/// Values that are not in the file are unknown, not 0.
thirstline_site blank_site() {
    constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
    thirstline_site site{};
    site.point_lat_e7 = THIRSTLINE_UNKNOWN;
    site.point_lon_e7 = THIRSTLINE_UNKNOWN;
    site.data_elevation_m = kNan;
    site.data_elevation_fixed = THIRSTLINE_UNKNOWN;
    site.annual_eto_mm = kNan;
    site.annual_rain_mm = kNan;
    site.method = site.method_note = site.site_correction = site.period = site.place = "";
    for (double* const values : {site.eto_mm_per_day, site.eto_mm, site.eto_se_mm, site.rain_mm,
                                 site.rain_se_mm, site.tmax_c, site.tmin_c, site.percent_of_peak}) {
        std::fill(values, values + kMonths, kNan);
    }
    for (std::int32_t* const values : {site.eto_fixed, site.eto_se_fixed, site.rain_fixed,
                                       site.rain_se_fixed, site.tmax_fixed, site.tmin_fixed}) {
        std::fill(values, values + kMonths, THIRSTLINE_UNKNOWN);
    }
    return site;
}

void fill_months(thirstline_site& site, const SiteProfile& profile) {
    for (std::size_t m = 0; m < kMonths; ++m) {
        const MonthProfile& month = profile.months[m];
        site.eto_mm_per_day[m] = number_or_nan(month.eto_mm_per_day);
        site.eto_mm[m] = number_or_nan(month.eto_mm);
        site.eto_se_mm[m] = number_or_nan(month.eto_se_mm);
        site.rain_mm[m] = number_or_nan(month.rain_mm);
        site.rain_se_mm[m] = number_or_nan(month.rain_se_mm);
        site.tmax_c[m] = number_or_nan(month.tmax_c);
        site.tmin_c[m] = number_or_nan(month.tmin_c);
        site.percent_of_peak[m] = number_or_nan(month.percent_of_peak);
        site.method_codes[m] = method_code(month.method);
    }
}

void fill_fixed(thirstline_site& site, const Answer& answer, const TileLayout& layout) {
    const auto copy = [&](LayerId id, std::int32_t* to) {
        if (layout.find(id) != nullptr) std::copy(answer.of(id).begin(), answer.of(id).end(), to);
    };
    copy(LayerId::eto, site.eto_fixed);
    copy(LayerId::eto_se, site.eto_se_fixed);
    copy(LayerId::rain, site.rain_fixed);
    copy(LayerId::rain_se, site.rain_se_fixed);
    copy(LayerId::tmax, site.tmax_fixed);
    copy(LayerId::tmin, site.tmin_fixed);
    if (layout.find(LayerId::elevation) != nullptr)
        site.data_elevation_fixed = answer.of(LayerId::elevation)[0];
}

}  // namespace

Result<std::vector<Database*>> OpenFile::more_databases(std::size_t count) {
    while (more_databases_.size() < count) {
        auto database = TRY(database_->another());
        more_databases_.push_back(std::move(database));
    }
    std::vector<Database*> databases;
    for (std::size_t i = 0; i < count; ++i) databases.push_back(more_databases_[i].get());
    return databases;
}

const char* OpenFile::kept(const std::string& text) {
    return texts_.insert(text).first->c_str();
}

Result<const Baseline*> OpenFile::baseline() {
    if (!baseline_) baseline_ = TRY(read_baseline(*database_));
    return &*baseline_;
}

Result<const std::vector<StationRecord>*> OpenFile::stations() {
    if (!stations_) stations_ = TRY(database_->stations());
    return &*stations_;
}

Result<const char*> OpenFile::period(std::uint8_t period_id) {
    const auto known = periods_.find(period_id);
    if (known != periods_.end()) return known->second;
    const auto text = TRY(database_->period(period_id));
    return periods_[period_id] = kept(text);
}

Result<thirstline_site> OpenFile::plain_site(const Reply& answer) {
    thirstline_site site = blank_site();
    site.status = answer.status;
    fill_query(site, answer.query);
    site.place = kept(answer.query.place);
    if (answer.status != THIRSTLINE_OK) {
        copy_text(site.reason, answer.miss.reason);
        copy_text(site.hint, answer.miss.hint);
        return site;
    }
    const SiteProfile profile = site_profile(answer.answer, database_->layout());
    site.period = TRY(period(profile.point.period_id));
    site.point_lat_e7 = profile.point.at.lat_e7;
    site.point_lon_e7 = profile.point.at.lon_e7;
    site.interpolated = profile.point.interpolated ? 1 : 0;
    site.distance_m = answer.answer.distance_m;
    site.data_elevation_m = number_or_nan(profile.point.elevation_m);
    site.shifted_by_cm = answer.answer.shifted_by_cm;
    site.method_code = method_code(profile.point.method);
    site.method = kept(method_name(profile.point.method));
    site.method_note = kept(method_note(profile.point.method));
    site.site_correction = kept(site_correction_text(profile.point.method.correction));
    site.annual_eto_mm = number_or_nan(profile.annual_eto_mm);
    site.annual_rain_mm = number_or_nan(profile.annual_rain_mm);
    site.peak_month = profile.peak_month.value_or(0);
    fill_months(site, profile);
    fill_fixed(site, answer.answer, database_->layout());
    return site;
}

void OpenFile::fill_divisors(thirstline_baseline& baseline) const {
    const auto divisor = [this](LayerId id) {
        const Layer* layer = database_->layout().find(id);
        return layer == nullptr ? 0 : layer->divisor * kAnswerScale;
    };
    baseline.eto_units_per_mm_per_day = divisor(LayerId::eto);
    baseline.eto_se_units_per_mm_per_day = divisor(LayerId::eto_se);
    baseline.rain_units_per_mm = divisor(LayerId::rain);
    baseline.rain_se_units_per_mm = divisor(LayerId::rain_se);
    baseline.tmax_units_per_degree = divisor(LayerId::tmax);
    baseline.tmin_units_per_degree = divisor(LayerId::tmin);
    baseline.elevation_units_per_m = divisor(LayerId::elevation);
    baseline.has_temperature =
        baseline.tmax_units_per_degree > 0 && baseline.tmin_units_per_degree > 0;
    baseline.has_standard_errors = baseline.eto_se_units_per_mm_per_day > 0;
}

}  // namespace thirstline
