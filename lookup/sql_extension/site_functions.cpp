#include "lookup/sql_extension/site_functions.hpp"

#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "lookup/library/reply.hpp"
#include "lookup/site/site_query.hpp"
#include "lookup/site_output/answer_decimals.hpp"
#include "lookup/sql_extension/sql_arguments.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

constexpr double kCmPerM = 100.0;
constexpr double kMPerKm = 1000.0;

SqlValue number(double value, int decimals) {
    if (std::isnan(value)) return {};
    return rounded(value, decimals);
}

SqlValue exact(std::int32_t value) {
    if (value == THIRSTLINE_UNKNOWN) return {};
    return std::int64_t{value};
}

SqlValue text_or_null(std::string_view text) {
    if (text.empty()) return {};
    return std::string(text);
}

SqlValue degrees(std::int32_t e7) {
    return e7 / static_cast<double>(kE7PerDegree);
}

struct SiteColumn {
    SqlColumn column;
    SqlValue (*value)(const thirstline_site& site, std::size_t month);
};

using Site = thirstline_site;

constexpr std::array kSiteColumns{
    SiteColumn{
        {"month", "INTEGER"},
        [](const Site&, std::size_t m) -> SqlValue { return static_cast<std::int64_t>(m) + 1; }},
    SiteColumn{{"days", "REAL"},
               [](const Site&, std::size_t m) -> SqlValue { return kDaysInMonth[m]; }},
    SiteColumn{{"eto_mm", "REAL"},
               [](const Site& s, std::size_t m) { return number(s.eto_mm[m], kMmDecimals); }},
    SiteColumn{{"eto_mm_per_day", "REAL"},
               [](const Site& s, std::size_t m) {
                   return number(s.eto_mm_per_day[m], kMmPerDayDecimals);
               }},
    SiteColumn{{"eto_se_mm", "REAL"},
               [](const Site& s, std::size_t m) { return number(s.eto_se_mm[m], kMmDecimals); }},
    SiteColumn{{"rain_mm", "REAL"},
               [](const Site& s, std::size_t m) { return number(s.rain_mm[m], kMmDecimals); }},
    SiteColumn{{"rain_se_mm", "REAL"},
               [](const Site& s, std::size_t m) { return number(s.rain_se_mm[m], kMmDecimals); }},
    SiteColumn{{"tmax_c", "REAL"},
               [](const Site& s, std::size_t m) { return number(s.tmax_c[m], kCelsiusDecimals); }},
    SiteColumn{{"tmin_c", "REAL"},
               [](const Site& s, std::size_t m) { return number(s.tmin_c[m], kCelsiusDecimals); }},
    SiteColumn{{"percent_of_peak", "REAL"},
               [](const Site& s, std::size_t m) {
                   return number(s.percent_of_peak[m], kPercentDecimals);
               }},
    // The exact integers, whose divisors thirstline_info has.
    SiteColumn{{"eto_fixed", "INTEGER"},
               [](const Site& s, std::size_t m) { return exact(s.eto_fixed[m]); }},
    SiteColumn{{"eto_se_fixed", "INTEGER"},
               [](const Site& s, std::size_t m) { return exact(s.eto_se_fixed[m]); }},
    SiteColumn{{"rain_fixed", "INTEGER"},
               [](const Site& s, std::size_t m) { return exact(s.rain_fixed[m]); }},
    SiteColumn{{"rain_se_fixed", "INTEGER"},
               [](const Site& s, std::size_t m) { return exact(s.rain_se_fixed[m]); }},
    SiteColumn{{"tmax_fixed", "INTEGER"},
               [](const Site& s, std::size_t m) { return exact(s.tmax_fixed[m]); }},
    SiteColumn{{"tmin_fixed", "INTEGER"},
               [](const Site& s, std::size_t m) { return exact(s.tmin_fixed[m]); }},
    // The same in each of the site's rows.
    SiteColumn{{"annual_eto_mm", "REAL"},
               [](const Site& s, std::size_t) { return number(s.annual_eto_mm, kMmDecimals); }},
    SiteColumn{{"annual_rain_mm", "REAL"},
               [](const Site& s, std::size_t) { return number(s.annual_rain_mm, kMmDecimals); }},
    SiteColumn{{"peak_month", "INTEGER"},
               [](const Site& s, std::size_t) -> SqlValue {
                   if (s.peak_month == 0) return {};
                   return std::int64_t{s.peak_month};
               }},
    SiteColumn{{"site_lat", "REAL"}, [](const Site& s, std::size_t) { return degrees(s.lat_e7); }},
    SiteColumn{{"site_lon", "REAL"}, [](const Site& s, std::size_t) { return degrees(s.lon_e7); }},
    SiteColumn{{"postal_code", "TEXT"},
               [](const Site& s, std::size_t) { return text_or_null(s.postal); }},
    SiteColumn{{"postal_country", "TEXT"},
               [](const Site& s, std::size_t) { return text_or_null(s.country); }},
    SiteColumn{{"postal_place", "TEXT"},
               [](const Site& s, std::size_t) { return text_or_null(s.place); }},
    SiteColumn{{"point_lat", "REAL"},
               [](const Site& s, std::size_t) { return degrees(s.point_lat_e7); }},
    SiteColumn{{"point_lon", "REAL"},
               [](const Site& s, std::size_t) { return degrees(s.point_lon_e7); }},
    SiteColumn{{"distance_km", "REAL"},
               [](const Site& s, std::size_t) {
                   return number(s.distance_m / kMPerKm, kKilometreDecimals);
               }},
    SiteColumn{
        {"data_elevation_m", "REAL"},
        [](const Site& s, std::size_t) { return number(s.data_elevation_m, kMetreDecimals); }},
    SiteColumn{{"shifted_by_m", "REAL"},
               [](const Site& s, std::size_t) {
                   return number(s.shifted_by_cm / kCmPerM, kMetreDecimals);
               }},
    SiteColumn{{"method", "TEXT"},
               [](const Site& s, std::size_t) { return text_or_null(s.method); }},
    SiteColumn{{"method_note", "TEXT"},
               [](const Site& s, std::size_t) { return text_or_null(s.method_note); }},
    SiteColumn{{"site_correction", "TEXT"},
               [](const Site& s, std::size_t) { return text_or_null(s.site_correction); }},
    SiteColumn{{"period", "TEXT"},
               [](const Site& s, std::size_t) { return text_or_null(s.period); }},
};

class SiteRows final : public SqlRows {
  public:
    SiteRows(std::shared_ptr<OpenFile> file, std::optional<thirstline_site> site,
             std::vector<SqlValue> arguments)
        : file_(std::move(file)), site_(site), arguments_(std::move(arguments)) {}

    Result<bool> next() override {
        if (!site_ || ++month_ == kMonths) return false;
        return true;
    }
    SqlValue value(std::size_t column) const override {
        if (column < kSiteColumns.size())
            return kSiteColumns[column].value(*site_, static_cast<std::size_t>(month_));
        return arguments_[column - kSiteColumns.size()];
    }

  private:
    std::shared_ptr<OpenFile> file_;  ///< owns the site's texts
    std::optional<thirstline_site> site_;
    std::vector<SqlValue> arguments_;
    int month_ = -1;
};

/// Nothing for a valid question without an answer.
Result<std::optional<thirstline_site>> year_of(FilesOfConnection& files, OpenFile& file,
                                               const SiteQuestion& question) {
    const auto reply = site_answer(file.database(), question);
    TRY(files.check_unchanged(file));
    if (!reply) return fail(reply.error());
    if (reply->status == THIRSTLINE_NO_DATA) return std::optional<thirstline_site>();
    if (reply->status != THIRSTLINE_OK)
        return fail(ErrorCode::usage, reply->miss.reason, reply->miss.hint);
    const auto site = TRY(file.plain_site(*reply));
    return std::optional(site);
}

using Rows = Result<std::unique_ptr<SqlRows>>;

Rows rows_of_site(FilesOfConnection& files, SqlCall call) {
    auto file = TRY(files.file(call.arguments[0]));
    std::optional<thirstline_site> site;
    if (!is_null(call.arguments[1]) && !is_null(call.arguments[2])) {
        SiteQuestion question;
        const auto position = TRY(position_argument(call.arguments[1], call.arguments[2]));
        question.lat_lon = to_degrees(position);
        question.elevation_m = TRY(elevation_argument(call.arguments[3]));
        site = TRY(year_of(files, *file, question));
    }
    return std::make_unique<SiteRows>(std::move(file), site, std::move(call.arguments));
}

Rows rows_of_postal_code(FilesOfConnection& files, SqlCall call) {
    auto file = TRY(files.file(call.arguments[0]));
    std::optional<thirstline_site> site;
    if (!is_null(call.arguments[1])) {
        SiteQuestion question;
        const auto code = TRY(postal_code_argument(call.arguments[1]));
        const auto country = TRY(country_argument(call.arguments[2]));
        question.postal = code;
        question.country = country;
        question.elevation_m = TRY(elevation_argument(call.arguments[3]));
        site = TRY(year_of(files, *file, question));
    }
    return std::make_unique<SiteRows>(std::move(file), site, std::move(call.arguments));
}

std::vector<SqlColumn> columns_of_site() {
    std::vector<SqlColumn> columns;
    for (const SiteColumn& column : kSiteColumns) columns.push_back(column.column);
    return columns;
}

}  // namespace

SqlFunction site_function(std::shared_ptr<FilesOfConnection> files) {
    return {
        "thirstline_site",
        columns_of_site(),
        {{"file", "TEXT"}, {"lat", "REAL"}, {"lon", "REAL"}, {"elevation_m", "REAL"}},
        3,
        {},
        [files = std::move(files)](SqlCall call) { return rows_of_site(*files, std::move(call)); }};
}

SqlFunction postal_function(std::shared_ptr<FilesOfConnection> files) {
    return {"thirstline_postal",
            columns_of_site(),
            {{"file", "TEXT"}, {"code", ""}, {"country", ""}, {"elevation_m", "REAL"}},
            2,
            {},
            [files = std::move(files)](SqlCall call) {
                return rows_of_postal_code(*files, std::move(call));
            }};
}

}  // namespace thirstline
