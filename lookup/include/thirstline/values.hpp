// The values that thirstline.hpp takes and returns; include that.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "thirstline/thirstline.h"

namespace thirstline {
// The version is part of every name, so that a program may contain two versions.
inline namespace THIRSTLINE_VERSION_NAMESPACE {

/// WGS 84 degrees: latitude −90 to 90, longitude −180 to 180.
struct LatLon {
    double lat_deg = 0.0;
    double lon_deg = 0.0;
};

enum class ErrorCode {
    no_data = THIRSTLINE_NO_DATA,      ///< only as the reason of a missing answer
    usage = THIRSTLINE_USAGE,          ///< the question is not valid
    bad_file = THIRSTLINE_BAD_FILE,    ///< damaged, not a Thirstline file, or of an unsupported
                                       ///< version
    io = THIRSTLINE_IO,                ///< the operating system refused, or the file was changed
    internal = THIRSTLINE_INTERNAL,    ///< out of memory, or an internal error of the library
    ambiguous = THIRSTLINE_AMBIGUOUS,  ///< several countries have this postal code
    busy = THIRSTLINE_BUSY,            ///< another thread is using this file
};

struct Error {
    ErrorCode code = ErrorCode::internal;
    std::string message;  ///< one sentence without a full stop: what is wrong, and where
    std::string hint;     ///< a suggestion; may be empty
    std::vector<std::string> countries;  ///< that have an ambiguous postal code, sorted
};

/// A T, or the reason why there is none.
template <class T>
class [[nodiscard]] Result {
  public:
    Result(T value) : content_(std::in_place_index<0>, std::move(value)) {}
    Result(Error error) : content_(std::in_place_index<1>, std::move(error)) {}

    [[nodiscard]] bool has_value() const noexcept { return content_.index() == 0; }
    explicit operator bool() const noexcept { return has_value(); }

    /// Only if there is a value.
    [[nodiscard]] T& operator*() & noexcept { return *std::get_if<0>(&content_); }
    [[nodiscard]] const T& operator*() const& noexcept { return *std::get_if<0>(&content_); }
    [[nodiscard]] T&& operator*() && noexcept { return std::move(*std::get_if<0>(&content_)); }
    [[nodiscard]] T* operator->() noexcept { return std::get_if<0>(&content_); }
    [[nodiscard]] const T* operator->() const noexcept { return std::get_if<0>(&content_); }

    /// Only if there is no value.
    [[nodiscard]] const Error& error() const noexcept { return *std::get_if<1>(&content_); }

  private:
    std::variant<T, Error> content_;
};

/// Success without a value.
struct Done {};

/// As people write it: "97401-1234", "k1a 0b1". Without a country, any country that has the code.
struct PostalCode {
    std::string code;
    std::string country = {};  ///< two letters
};

/// One of several sites.
struct SiteQuery {
    std::variant<LatLon, PostalCode> place;
    std::optional<std::int32_t> elevation_m = {};  ///< −1000 to 10000
};

/// How a site's JSON differs from its normals by months.
struct JsonOptions {
    std::optional<std::string> own_record = {};  ///< CSV: month,eto_mm,rain_mm
    std::string year = "mean";                   ///< or "dry", "wet", a percentage such as "90"
    std::string step = "month";                  ///< or "week", "day"
};

/// The exact integers of a month: value = integer / divisor; see Divisors.
struct FixedMonth {
    std::optional<std::int32_t> eto;  ///< per day
    std::optional<std::int32_t> eto_se;
    std::optional<std::int32_t> rain;
    std::optional<std::int32_t> rain_se;
    std::optional<std::int32_t> tmax;
    std::optional<std::int32_t> tmin;
};

struct Month {
    std::optional<double> eto_mm_per_day;
    std::optional<double> eto_mm;  ///< per month; February has 28.25 days
    std::optional<double> eto_se_mm;
    std::optional<double> rain_mm;  ///< total precipitation, including snow water equivalent
    std::optional<double> rain_se_mm;
    std::optional<double> tmax_c;  ///< air temperatures as measured
    std::optional<double> tmin_c;
    std::optional<double> percent_of_peak;  ///< of the peak month's ETo per day
    std::int32_t method_code = 0;           ///< larger is less trusted
    FixedMonth fixed;
};

/// The answer for a site.
struct Site {
    bool found = false;
    ErrorCode miss = ErrorCode::no_data;  ///< if not found: why, including errors in the query
    std::string reason;                   ///< if not found: one sentence without a full stop
    std::string hint;

    std::optional<LatLon> asked_at;  ///< the postal code's centroid; empty for an unknown code
    std::string postal;              ///< as stored in the file; empty for a query by coordinates
    std::string country;
    std::string place;  ///< of the postal code, if the file has its name
    std::optional<std::int32_t> elevation_m;

    LatLon answered_at;  ///< the site itself if interpolated, else the nearest point with data
    bool interpolated = false;               ///< from the grid points around the site
    double distance_km = 0.0;                ///< from the site; 0 if interpolated
    std::optional<double> data_elevation_m;  ///< before values are adjusted to elevation_m
    std::optional<std::int32_t> data_elevation_fixed;
    double shifted_by_m = 0.0;  ///< elevation_m minus data elevation; 0 if not given
    std::int32_t method_code = 0;
    std::string method;           ///< "penman-monteith", "hargreaves-samani" or "eto-grid"
    std::string method_note;      ///< what was estimated
    std::string site_correction;  ///< "reference" or "none", with a reason if there is one
    std::string period;           ///< years of the normals, such as "1991-2020"

    std::array<Month, 12> months;         ///< January first
    std::optional<double> annual_eto_mm;  ///< sum of unrounded months
    std::optional<double> annual_rain_mm;
    std::optional<int> peak_month;  ///< 1 to 12, by ETo per day
};

/// A station used for a site.
struct Station {
    std::string name;
    std::string country;
    std::string source;
    std::string period;
    std::string variables;  ///< such as "tmax, tmin, rain"
    LatLon at;
    std::int32_t elevation_m = 0;
    double distance_km = 0.0;
    std::optional<double> elevation_difference_m;  ///< station minus site
    double weight = 0.0;                           ///< weights of listed stations add up to 1
};

/// A source of a file's numbers. Show the attribution, and comply with the licence.
struct Source {
    std::string name;
    std::string variable;
    std::string period;
    std::string licence;
    std::string attribution;
    std::string url;
    std::int64_t values_used = 0;
};

/// Divisors of an answer's integers; 0 if the file lacks the layer.
struct Divisors {
    std::int32_t eto_per_mm_per_day = 0;
    std::int32_t eto_se_per_mm_per_day = 0;
    std::int32_t rain_per_mm = 0;
    std::int32_t rain_se_per_mm = 0;
    std::int32_t tmax_per_degree = 0;
    std::int32_t tmin_per_degree = 0;
    std::int32_t elevation_per_m = 0;
};

/// A file's description of itself. Show the notice with every answer.
struct Baseline {
    std::string title;
    std::string region;
    std::string publisher;
    std::string period;
    std::string reference;        ///< reference surface of ETo: "short" or "tall"
    std::string site_correction;  ///< "reference" or "none"
    std::string notice;
    std::string builder_version;
    std::string content_sha256;  ///< the same for files with the same content
    bool has_temperature = false;
    bool has_standard_errors = false;
    Divisors divisors;
    std::vector<Source> sources;
};

}  // namespace THIRSTLINE_VERSION_NAMESPACE
}  // namespace thirstline
