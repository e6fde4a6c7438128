// Thirstline for C++ (C++17 and later): monthly reference evapotranspiration (ETo) and rain for any
// site, from a file made by thirstline-builder. No network access, no exceptions of its own.
//
//     auto file = thirstline::File::open("merrow.sqlite");
//     if (!file) { std::cerr << file.error().message << '\n'; return 1; }
//     const auto site = file->site(thirstline::LatLon{44.603, -37.532});
//     if (!site) …                                       // an error in the question or the file
//     else if (!site->found) std::cout << site->reason;  // no data there: an answer, not an error
//     else std::cout << *site->months[6].eto_mm;         // July, in mm
//
// Numbers match those of thirstline-lookup to the last digit; `rounded` gives the digits it prints.
// Latitude comes first. A value that is not known is an empty optional.
//
// Errors are returned as values. Only the standard library throws, when memory runs out.
//
// Thread safety: only one thread at a time may use a File. Files are independent of each other:
// open one for each thread, even of the same path. Everything else is plain values.
//
// This header and its values.hpp use only the C interface of thirstline.h and the standard library,
// so that one library works with programs of any C++ compiler.
//
// A normal is not a forecast, and reference ET is not a watering time. Local watering rules and
// codes come first. Show the baseline's notice and its sources' attribution with your answers.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "thirstline/thirstline.h"
#include "thirstline/values.hpp"

namespace thirstline {
// The version is part of every name, so that a program may contain two versions.
inline namespace THIRSTLINE_VERSION_NAMESPACE {

/// `value` rounded to 0 … 7 decimals as in thirstline-lookup: half away from zero.
[[nodiscard]] inline double rounded(double value, int decimals) noexcept {
    return thirstline_rounded(value, decimals);
}

/// The version of the library at run time: "0.1.0".
[[nodiscard]] inline const char* version() noexcept {
    return thirstline_version();
}

namespace detail {

inline std::vector<std::string> words_of(const std::string& text) {
    std::vector<std::string> words;
    std::size_t start = 0;
    while (start < text.size()) {
        const std::size_t end = std::min(text.find(' ', start), text.size());
        words.push_back(text.substr(start, end - start));
        start = end + 1;
    }
    return words;
}

inline Error error_of(const thirstline_error& error) {
    return {static_cast<ErrorCode>(error.status), error.message, error.hint,
            words_of(error.countries)};
}

template <class Plain>
Plain sized() {
    Plain plain{};
    plain.struct_size = sizeof plain;
    return plain;
}

inline std::optional<double> known(double value) {
    return std::isnan(value) ? std::nullopt : std::optional<double>(value);
}

inline std::optional<std::int32_t> known(std::int32_t value) {
    return value == THIRSTLINE_UNKNOWN ? std::nullopt : std::optional<std::int32_t>(value);
}

inline LatLon degrees(std::int32_t lat_e7, std::int32_t lon_e7) {
    return {lat_e7 / 1e7, lon_e7 / 1e7};
}

inline const std::int32_t* pointer_to(const std::optional<std::int32_t>& value) {
    return value ? &*value : nullptr;
}

inline Month month_of(const thirstline_site& site, std::size_t m) {
    Month month;
    month.eto_mm_per_day = known(site.eto_mm_per_day[m]);
    month.eto_mm = known(site.eto_mm[m]);
    month.eto_se_mm = known(site.eto_se_mm[m]);
    month.rain_mm = known(site.rain_mm[m]);
    month.rain_se_mm = known(site.rain_se_mm[m]);
    month.tmax_c = known(site.tmax_c[m]);
    month.tmin_c = known(site.tmin_c[m]);
    month.percent_of_peak = known(site.percent_of_peak[m]);
    month.method_code = site.method_codes[m];
    month.fixed = {known(site.eto_fixed[m]),  known(site.eto_se_fixed[m]),
                   known(site.rain_fixed[m]), known(site.rain_se_fixed[m]),
                   known(site.tmax_fixed[m]), known(site.tmin_fixed[m])};
    return month;
}

inline Site site_of(const thirstline_site& plain) {
    Site site;
    site.found = plain.status == THIRSTLINE_OK;
    site.postal = plain.postal;
    site.country = plain.country;
    site.place = plain.place;
    site.elevation_m = known(plain.elevation_m);
    if (plain.lat_e7 != THIRSTLINE_UNKNOWN) site.asked_at = degrees(plain.lat_e7, plain.lon_e7);
    if (!site.found) {
        site.miss = static_cast<ErrorCode>(plain.status);
        site.reason = plain.reason;
        site.hint = plain.hint;
        return site;
    }
    site.answered_at = degrees(plain.point_lat_e7, plain.point_lon_e7);
    site.interpolated = plain.interpolated != 0;
    site.distance_km = plain.distance_m / 1000.0;
    site.data_elevation_m = known(plain.data_elevation_m);
    site.data_elevation_fixed = known(plain.data_elevation_fixed);
    site.shifted_by_m = plain.shifted_by_cm / 100.0;
    site.method_code = plain.method_code;
    site.method = plain.method;
    site.method_note = plain.method_note;
    site.site_correction = plain.site_correction;
    site.period = plain.period;
    for (std::size_t m = 0; m < site.months.size(); ++m) site.months[m] = month_of(plain, m);
    site.annual_eto_mm = known(plain.annual_eto_mm);
    site.annual_rain_mm = known(plain.annual_rain_mm);
    if (plain.peak_month > 0) site.peak_month = plain.peak_month;
    return site;
}

inline thirstline_query query_of(const SiteQuery& query) {
    auto plain = sized<thirstline_query>();
    if (const auto* const at = std::get_if<LatLon>(&query.place)) {
        plain.lat_lon = {at->lat_deg, at->lon_deg};
    } else if (const auto* const postal = std::get_if<PostalCode>(&query.place)) {
        plain.postal = postal->code.c_str();
        plain.country = postal->country.c_str();
    }
    plain.elevation_m = query.elevation_m.value_or(THIRSTLINE_UNKNOWN);
    return plain;
}

inline Station station_of(const thirstline_station& plain) {
    return {plain.name,        plain.country,     plain.source,
            plain.period,      plain.variables,   degrees(plain.lat_e7, plain.lon_e7),
            plain.elevation_m, plain.distance_km, known(plain.elevation_difference_m),
            plain.weight};
}

inline Baseline baseline_of(const thirstline_baseline& plain) {
    Baseline baseline;
    baseline.title = plain.title;
    baseline.region = plain.region;
    baseline.publisher = plain.publisher;
    baseline.period = plain.period;
    baseline.reference = plain.reference;
    baseline.site_correction = plain.site_correction;
    baseline.notice = plain.notice;
    baseline.builder_version = plain.builder_version;
    baseline.content_sha256 = plain.content_sha256;
    baseline.has_temperature = plain.has_temperature != 0;
    baseline.has_standard_errors = plain.has_standard_errors != 0;
    baseline.divisors = {plain.eto_units_per_mm_per_day, plain.eto_se_units_per_mm_per_day,
                         plain.rain_units_per_mm,        plain.rain_se_units_per_mm,
                         plain.tmax_units_per_degree,    plain.tmin_units_per_degree,
                         plain.elevation_units_per_m};
    return baseline;
}

}  // namespace detail

/// How the bytes of a file are read.
enum class Access {
    read,    ///< with system calls: safe even if the file changes
    mapped,  ///< as memory: slightly faster; if the file is truncated while open, the process may
             ///< end
};

/// An open file. To publish a new version, rename a finished file into place; an open File
/// continues to read the old version.
class File {
  public:
    /// Errors: io if it cannot be opened; bad_file if it is damaged or not a Thirstline file.
    static Result<File> open(const std::string& path, Access access = Access::read) {
        const auto open_file = access == Access::mapped ? thirstline_open_mapped : thirstline_open;
        return opened(
            [&](auto** file, auto* error) { return open_file(path.c_str(), file, error); });
    }

    /// A file in memory, which is not copied: it must stay valid and unchanged as long as this
    /// File. Errors: bad_file.
    static Result<File> open_memory(const void* bytes, std::size_t size) {
        return opened([&](auto** file, auto* error) {
            return thirstline_open_memory(bytes, size, file, error);
        });
    }

    /// `size` bytes from `offset` on of an open file of the operating system, such as an asset in a
    /// phone app's package; all up to the end if `size` is 0. The descriptor still belongs to the
    /// caller, who may close it. Errors: usage for a part outside the file; bad_file, io.
    static Result<File> open_descriptor(int descriptor, std::int64_t offset = 0,
                                        std::int64_t size = 0) {
        return opened([&](auto** file, auto* error) {
            return thirstline_open_descriptor(descriptor, offset, size, file, error);
        });
    }

    /// The year of a site. If the site's own elevation is given, −1000 to 10000 m, values are
    /// adjusted to it. Errors: usage for a position or elevation that is not valid; bad_file, io,
    /// internal.
    Result<Site> site(LatLon at, std::optional<std::int32_t> elevation_m = std::nullopt) {
        auto plain = detail::sized<thirstline_site>();
        auto error = detail::sized<thirstline_error>();
        const auto status = thirstline_site_at(file_.get(), {at.lat_deg, at.lon_deg},
                                               detail::pointer_to(elevation_m), &plain, &error);
        return site_or_error(status, plain, error);
    }

    /// Errors: also ambiguous, with the countries; usage for a text that is not a postal code.
    Result<Site> site(const PostalCode& postal,
                      std::optional<std::int32_t> elevation_m = std::nullopt) {
        auto plain = detail::sized<thirstline_site>();
        auto error = detail::sized<thirstline_error>();
        const auto status =
            thirstline_site_of_postal_code(file_.get(), postal.code.c_str(), postal.country.c_str(),
                                           detail::pointer_to(elevation_m), &plain, &error);
        return site_or_error(status, plain, error);
    }

    /// Answers `count` queries into `sites`, in order. An error in a query is reported in the
    /// reason of its site. `jobs` is the number of threads, 1 to 256; 0: one per core.
    Result<Done> sites(const SiteQuery* queries, std::size_t count, Site* sites, int jobs = 1) {
        constexpr std::size_t kAtOnce = 4096;  // about 8 MB
        auto error = detail::sized<thirstline_error>();
        std::vector<thirstline_query> plain_queries;
        std::vector<thirstline_site> plain_sites;
        for (std::size_t first = 0; first < count; first += kAtOnce) {
            const std::size_t some = std::min(kAtOnce, count - first);
            plain_queries.clear();
            for (std::size_t i = 0; i < some; ++i)
                plain_queries.push_back(detail::query_of(queries[first + i]));
            plain_sites.assign(some, detail::sized<thirstline_site>());
            if (thirstline_sites(file_.get(), plain_queries.data(), some, jobs, plain_sites.data(),
                                 &error) != THIRSTLINE_OK) {
                return detail::error_of(error);
            }
            for (std::size_t i = 0; i < some; ++i)
                sites[first + i] = detail::site_of(plain_sites[i]);
        }
        return Done{};
    }

    /// The same for contiguous containers: std::vector, std::array, std::span.
    template <class Queries>
    Result<std::vector<Site>> sites(const Queries& queries, int jobs = 1) {
        std::vector<Site> answers(queries.size());
        const auto done = sites(queries.data(), queries.size(), answers.data(), jobs);
        if (!done) return done.error();
        return answers;
    }

    /// What `thirstline-lookup site --format json` prints; "found": false if there is no data.
    /// Errors: usage for options that are not valid.
    Result<std::string> site_json(const SiteQuery& query, const JsonOptions& options = {}) {
        return json_or_error(
            query, options, [&](auto* plain, auto* choices, auto** json, auto* error) {
                return thirstline_site_json(file_.get(), plain, choices, json, error);
            });
    }

    /// The same for `demand`: need, run times, settings and cost of the zones in the content of a
    /// zone file. Errors: usage for zones that are not valid, with their line.
    Result<std::string> demand_json(const SiteQuery& query, const std::string& zones,
                                    const JsonOptions& options = {}) {
        return json_or_error(query, options,
                             [&](auto* plain, auto* choices, auto** json, auto* error) {
                                 return thirstline_demand_json(file_.get(), plain, zones.c_str(),
                                                               choices, json, error);
                             });
    }

    /// The stations used for a site, at most `most`, by decreasing weight; none in a file made from
    /// grids alone.
    Result<std::vector<Station>> stations_near(
        LatLon at, std::optional<std::int32_t> elevation_m = std::nullopt, std::size_t most = 10) {
        auto error = detail::sized<thirstline_error>();
        std::vector<thirstline_station> plain(most, detail::sized<thirstline_station>());
        std::size_t count = 0;
        if (thirstline_stations_near(file_.get(), {at.lat_deg, at.lon_deg},
                                     detail::pointer_to(elevation_m), plain.data(), plain.size(),
                                     &count, &error) != THIRSTLINE_OK) {
            return detail::error_of(error);
        }
        std::vector<Station> stations;
        for (std::size_t i = 0; i < count; ++i) stations.push_back(detail::station_of(plain[i]));
        return stations;
    }

    Result<Baseline> baseline() {
        auto error = detail::sized<thirstline_error>();
        auto plain = detail::sized<thirstline_baseline>();
        if (thirstline_get_baseline(file_.get(), &plain, &error) != THIRSTLINE_OK)
            return detail::error_of(error);
        Baseline baseline = detail::baseline_of(plain);
        for (std::int32_t i = 0; i < plain.source_count; ++i) {
            auto source = detail::sized<thirstline_source>();
            if (thirstline_get_source(file_.get(), i, &source, &error) != THIRSTLINE_OK)
                return detail::error_of(error);
            baseline.sources.push_back({source.name, source.variable, source.period, source.licence,
                                        source.attribution, source.url, source.values_used});
        }
        return baseline;
    }

    /// Reads the whole file and checks it for damage. Answers check the data that they read even
    /// without it; use this for a file that has just been downloaded.
    Result<Done> verify() {
        auto error = detail::sized<thirstline_error>();
        if (thirstline_verify(file_.get(), &error) != THIRSTLINE_OK) return detail::error_of(error);
        return Done{};
    }

  private:
    struct Closer {
        void operator()(thirstline_file* file) const noexcept { thirstline_close(file); }
    };

    explicit File(thirstline_file* file) : file_(file) {}

    template <class Open>
    static Result<File> opened(const Open& open) {
        auto error = detail::sized<thirstline_error>();
        thirstline_file* file = nullptr;
        if (open(&file, &error) != THIRSTLINE_OK) return detail::error_of(error);
        return File(file);
    }

    template <class Ask>
    static Result<std::string> json_or_error(const SiteQuery& query, const JsonOptions& options,
                                             const Ask& ask) {
        const auto plain = detail::query_of(query);
        auto choices = detail::sized<thirstline_json_options>();
        if (options.own_record) choices.own_record = options.own_record->c_str();
        choices.year = options.year.c_str();
        choices.step = options.step.c_str();
        auto error = detail::sized<thirstline_error>();
        const char* json = nullptr;
        ask(&plain, &choices, &json, &error);
        if (json == nullptr) return detail::error_of(error);  // no data has JSON, too
        return std::string(json);
    }

    static Result<Site> site_or_error(thirstline_status status, const thirstline_site& plain,
                                      const thirstline_error& error) {
        if (status != THIRSTLINE_OK && status != THIRSTLINE_NO_DATA) return detail::error_of(error);
        return detail::site_of(plain);
    }

    std::unique_ptr<thirstline_file, Closer> file_;
};

}  // namespace THIRSTLINE_VERSION_NAMESPACE
}  // namespace thirstline
