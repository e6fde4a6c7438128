#include "lookup/site/wet_and_dry_years.hpp"

#include <cmath>
#include <string>

#include "schema/text/plain_numbers.hpp"

namespace thirstline {
namespace {

constexpr double kPercent = 100.0;

/// Empty if a month is unknown.
std::optional<double> lawn_need_mm(const SiteProfile& profile) {
    Monthly<double> eto{};
    Monthly<double> rain{};
    for (std::size_t m = 0; m < kMonths; ++m) {
        const MonthProfile& month = profile.months[m];
        if (!month.eto_mm || !month.rain_mm) return std::nullopt;
        eto[m] = *month.eto_mm;
        rain[m] = *month.rain_mm;
    }
    return lawn_need_of_year_mm(eto, rain);
}

/// The root of the sum of squares of the normal's error, in proportion, and of the slope's.
void move(std::optional<double>& value, std::optional<double>& error, double factor,
          double slope_error) {
    if (!value) return;
    if (error) error = std::hypot(*error * factor, *value * (factor - 1.0) * slope_error);
    value = *value * factor;
}

void move_to(SiteProfile& profile, const SlopesOfSite& site, double percent) {
    const double deviate = deviate_of_share(percent / kPercent);
    for (std::size_t m = 0; m < kMonths; ++m) {
        const MonthFactors factors = month_factors(site.slopes, m, deviate);
        MonthProfile& month = profile.months[m];
        move(month.eto_mm, month.eto_se_mm, factors.eto, site.error_share);
        if (month.eto_mm_per_day) month.eto_mm_per_day = *month.eto_mm_per_day * factors.eto;
        move(month.rain_mm, month.rain_se_mm, factors.rain, site.error_share);
    }
    derive_year(profile);
}

}  // namespace

Result<std::optional<double>> year_percent_named(std::string_view name) {
    if (name == "mean") return std::optional<double>();
    if (name == "dry") return std::optional(kDryPercent);
    if (name == "wet") return std::optional(kWetPercent);
    const auto percent = plain_number(std::string(name));
    if (percent && *percent >= kMinPercent && *percent <= kMaxPercent) return percent;
    return fail(ErrorCode::usage,
                "--year must be mean, dry, wet or a percentage from 2 to 98, not \"" +
                    std::string(name) + "\"",
                "80, or dry, is the year whose need for irrigation is not exceeded in 8 years of "
                "10");
}

Result<void> describe_year(SiteProfile& profile, std::optional<double> percent) {
    const auto need = lawn_need_mm(profile);
    if (!profile.slopes || !need) {
        if (!percent) return {};
        return fail(ErrorCode::no_data,
                    profile.slopes ? "wet and dry years need ETo and rain of all months, and the "
                                     "file lacks some here"
                                   : "the file has no wet and dry years here, only the means",
                    "build it from records of years, with layers = [\"temperature\", \"years\"] in "
                    "[output]");
    }
    DescribedYear year;
    year.percent = percent;
    year.lawn_need_of_normals_mm = *need;
    year.percent_above_normals =
        kPercent * (1.0 - share_of_deviate(profile.slopes->slopes.deviate_of_normals));
    SiteProfile dry = profile;
    move_to(dry, *profile.slopes, kDryPercent);
    year.lawn_need_of_dry_year_mm = lawn_need_mm(dry).value_or(*need);
    if (percent) move_to(profile, *profile.slopes, *percent);
    year.lawn_need_mm = lawn_need_mm(profile).value_or(*need);
    profile.year = year;
    return {};
}

}  // namespace thirstline
