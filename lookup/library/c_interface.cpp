// The C interface: checks the caller's arguments, queries the file, and catches all exceptions.
#include <algorithm>
#include <atomic>
#include <cmath>
#include <cstddef>
#include <cstring>
#include <exception>
#include <limits>
#include <new>
#include <string>
#include <thread>
#include <utility>

#include "lookup/library/json_replies.hpp"
#include "lookup/library/many_in_arrays.hpp"
#include "lookup/library/many_replies.hpp"
#include "lookup/library/open_file.hpp"
#include "lookup/library/plain_structs.hpp"
#include "lookup/library/reply.hpp"
#include "lookup/site/near_stations.hpp"
#include "schema/base/worker_pool.hpp"
#include "schema/database/database_report.hpp"
#include "schema/geo/coordinates.hpp"
#include "schema/text/rounding.hpp"
#include "thirstline/thirstline.h"

namespace thirstline {

namespace {

constexpr double kRoundedBelow = 1e9;
constexpr std::int32_t kMaxDecimals = 7;

// Minimum sizes: up to the last member that the struct had in its first version.
constexpr std::size_t kMinError = offsetof(thirstline_error, countries) + 1024;
constexpr std::size_t kMinSite = offsetof(thirstline_site, tmin_fixed) + 48;
constexpr std::size_t kMinQuery = offsetof(thirstline_query, elevation_m) + 4;
constexpr std::size_t kMinJsonOptions = offsetof(thirstline_json_options, step) + sizeof(void*);
constexpr std::size_t kMinArrays = offsetof(thirstline_site_arrays, method_codes) + sizeof(void*);
constexpr std::size_t kMinBaseline = offsetof(thirstline_baseline, elevation_units_per_m) + 4;
constexpr std::size_t kMinSource = offsetof(thirstline_source, values_used) + 8;
constexpr std::size_t kMinStation = offsetof(thirstline_station, weight) + 8;

std::string joined_by_blank(const std::vector<std::string>& words) {
    std::string out;
    for (const std::string& word : words) out += (out.empty() ? "" : " ") + word;
    return out;
}

void fill_error(thirstline_error* to, thirstline_status status, std::string_view message,
                std::string_view hint, std::string_view countries) {
    if (to == nullptr) return;
    thirstline_error error{};
    error.status = status;
    copy_text(error.message, message);
    copy_text(error.hint, hint);
    copy_text(error.countries, countries);
    copy_struct(to, to->struct_size, error);
}

/// A call either fails, or ends with a status that may not be OK.
struct CallOutcome {
    thirstline_status status = THIRSTLINE_OK;
    std::string message;
    std::string hint;
    std::string countries;
};

Result<void> check_pointer(const void* pointer, const char* name) {
    if (pointer != nullptr) return {};
    return fail(ErrorCode::usage, std::string(name) + " is a null pointer");
}

template <class Struct>
Result<void> check_struct(const Struct* given, std::size_t least, const char* name) {
    TRY(check_pointer(given, name));
    if (given->struct_size >= least) return {};
    return fail(ErrorCode::usage,
                std::string(name) + "->struct_size is " + std::to_string(given->struct_size) +
                    ", too small for this struct",
                "set it to sizeof the struct before the call");
}

/// Runs `work`, which returns Result<CallOutcome>, and converts its result or exception to a
/// status.
template <class Work>
thirstline_status status_after(thirstline_error* error, const Work& work) noexcept {
    if (error != nullptr && error->struct_size < kMinError) return THIRSTLINE_USAGE;
    try {
        const Result<CallOutcome> outcome = work();
        if (!outcome) {
            const thirstline_status status = status_of(outcome.error().code);
            fill_error(error, status, outcome.error().message, outcome.error().hint, "");
            return status;
        }
        if (outcome->status != THIRSTLINE_OK)
            fill_error(error, outcome->status, outcome->message, outcome->hint, outcome->countries);
        return outcome->status;
    } catch (const std::bad_alloc&) {
        fill_error(error, THIRSTLINE_INTERNAL, "out of memory", "", "");
    } catch (const std::exception& exception) {
        fill_error(error, THIRSTLINE_INTERNAL, exception.what(), "", "");
    } catch (...) {
        fill_error(error, THIRSTLINE_INTERNAL, "an internal error of the library", "", "");
    }
    return THIRSTLINE_INTERNAL;
}

/// Runs `work` with the file, unless another thread is using it.
template <class Work>
thirstline_status status_with(thirstline_file* file, thirstline_error* error,
                              const Work& work) noexcept {
    return status_after(error, [&]() -> Result<CallOutcome> {
        TRY(check_pointer(file, "file"));
        if (file->in_use.exchange(true)) {
            return CallOutcome{THIRSTLINE_BUSY, "another thread is in a call with this file",
                               "open the file once for each thread", ""};
        }
        struct Release {
            std::atomic<bool>& in_use;
            ~Release() { in_use = false; }
        };
        const Release release{file->in_use};
        Result<CallOutcome> outcome = work();
        TRY(file->open.database().check_unchanged());
        return outcome;
    });
}

std::optional<std::int32_t> optional_of(const std::int32_t* value) {
    return value == nullptr ? std::nullopt : std::optional<std::int32_t>(*value);
}

Result<CallOutcome> answer_one(thirstline_file* file, const SiteQuestion& question,
                               thirstline_site* site) {
    TRY(check_struct(site, kMinSite, "site"));
    const auto answer = TRY(site_answer(file->open.database(), question));
    const auto plain = TRY(file->open.plain_site(answer));
    copy_struct(site, site->struct_size, plain);
    return CallOutcome{answer.status, answer.miss.reason, answer.miss.hint,
                       joined_by_blank(answer.countries)};
}

/// The element of an array whose elements may have another version's size.
template <class Struct>
Struct* element(Struct* first, std::size_t index) {
    using Byte = std::conditional_t<std::is_const_v<Struct>, const char, char>;
    return reinterpret_cast<Struct*>(reinterpret_cast<Byte*>(first) + index * first->struct_size);
}

SiteQuestion question_of(const thirstline_query* first, std::size_t index) {
    const thirstline_query& query = *element(first, index);
    SiteQuestion question;
    if (query.postal != nullptr) question.postal = query.postal;
    if (query.country != nullptr) question.country = query.country;
    question.lat_lon = {query.lat_lon.lat_deg, query.lat_lon.lon_deg};
    if (query.elevation_m != THIRSTLINE_UNKNOWN) question.elevation_m = query.elevation_m;
    return question;
}

/// A database for each thread.
Result<std::vector<Database*>> databases_of(OpenFile& open, std::size_t threads) {
    auto databases = TRY(open.more_databases(threads - 1));
    databases.push_back(&open.database());
    return databases;
}

Result<std::size_t> threads_of(std::int32_t jobs) {
    if (jobs < 0 || jobs > kMaxJobs) {
        return fail(ErrorCode::usage, "jobs is " + std::to_string(jobs) + ", and must be 0 to " +
                                          std::to_string(kMaxJobs));
    }
    return static_cast<std::size_t>(jobs > 0 ? jobs : all_cores());
}

Result<CallOutcome> answer_in_arrays(thirstline_file* file, const ArrayQuestions& questions,
                                     std::int32_t jobs, const thirstline_site_arrays* arrays) {
    const auto threads = TRY(threads_of(jobs));
    if (questions.count == 0) return CallOutcome{};
    TRY(check_pointer(questions.lat_deg, "lat_deg"));
    TRY(check_pointer(questions.lon_deg, "lon_deg"));
    TRY(check_struct(arrays, kMinArrays, "arrays"));
    const auto databases =
        TRY(databases_of(file->open, std::min(threads, chunks_of(questions.count))));
    thirstline_site_arrays known{};
    std::memcpy(&known, arrays, std::min(sizeof known, arrays->struct_size));
    TRY(fill_arrays(databases, questions, known));
    return CallOutcome{};
}

JsonChoices choices_of(const thirstline_json_options* options) {
    JsonChoices choices;
    if (options == nullptr) return choices;
    if (options->own_record != nullptr) choices.own_record = options->own_record;
    if (options->year != nullptr) choices.year = options->year;
    if (options->step != nullptr) choices.step = options->step;
    return choices;
}

/// `reply` returns Result<JsonReply> for a question and choices.
template <class Reply>
Result<CallOutcome> answer_as_json(thirstline_file* file, const thirstline_query* query,
                                   const thirstline_json_options* options, const char** json,
                                   const Reply& reply) {
    TRY(check_pointer(json, "json"));
    *json = nullptr;
    TRY(check_struct(query, kMinQuery, "query"));
    if (options != nullptr) TRY(check_struct(options, kMinJsonOptions, "options"));
    auto answer = TRY(reply(question_of(query, 0), choices_of(options)));
    if (!answer.json.empty()) *json = file->open.kept_json(std::move(answer.json));
    return CallOutcome{answer.place.status, answer.place.miss.reason, answer.place.miss.hint,
                       joined_by_blank(answer.place.countries)};
}

Result<CallOutcome> answer_all(thirstline_file* file, const thirstline_query* queries,
                               std::size_t count, std::int32_t jobs, thirstline_site* sites) {
    const auto threads = TRY(threads_of(jobs));
    if (count == 0) return CallOutcome{};
    TRY(check_struct(queries, kMinQuery, "queries"));
    TRY(check_struct(sites, kMinSite, "sites"));
    const auto databases = TRY(databases_of(file->open, threads));
    TRY(answer_many(
        databases, count, [queries](std::size_t i) { return question_of(queries, i); },
        [file, sites](std::size_t i, const Reply& answer) -> Result<void> {
            const auto plain = TRY(file->open.plain_site(answer));
            copy_struct(element(sites, i), sites->struct_size, plain);
            return {};
        }));
    return CallOutcome{};
}

thirstline_station plain_station(OpenFile& open, const NearStation& near) {
    thirstline_station station{};
    station.name = open.kept(near.record.name);
    station.country = open.kept(near.record.country);
    station.source = open.kept(near.record.source);
    station.period = open.kept(near.record.period);
    station.variables = open.kept(near.record.variables);
    station.lat_e7 = near.record.position.lat_e7;
    station.lon_e7 = near.record.position.lon_e7;
    station.elevation_m = near.record.elevation_m;
    station.distance_km = near.distance_km;
    station.elevation_difference_m =
        near.elevation_difference_m.value_or(std::numeric_limits<double>::quiet_NaN());
    station.weight = near.weight;
    return station;
}

Result<CallOutcome> stations_of(OpenFile& open, thirstline_lat_lon lat_lon,
                                const std::int32_t* elevation_m, thirstline_station* stations,
                                std::size_t capacity, std::size_t* count) {
    TRY(check_pointer(count, "count"));
    *count = 0;
    const auto site = TRY(checked_position({lat_lon.lat_deg, lat_lon.lon_deg}));
    if (capacity == 0) return CallOutcome{};
    TRY(check_struct(stations, kMinStation, "stations"));
    const auto all = TRY(open.stations());
    const auto height_m = TRY(site_elevation_m(open.database(), site, optional_of(elevation_m)));
    const auto near =
        near_stations(*all, site, height_m, station_kernel(open.database()), capacity);
    for (std::size_t i = 0; i < near.size(); ++i)
        copy_struct(element(stations, i), stations->struct_size, plain_station(open, near[i]));
    *count = near.size();
    return CallOutcome{};
}

thirstline_baseline plain_baseline(OpenFile& open, const Baseline& baseline) {
    thirstline_baseline plain{};
    plain.title = baseline.title.c_str();
    plain.region = baseline.region.c_str();
    plain.publisher = baseline.publisher.c_str();
    plain.period = baseline.period.c_str();
    plain.reference = baseline.reference.c_str();
    plain.site_correction = baseline.site_correction.c_str();
    plain.notice = baseline.notice.c_str();
    plain.builder_version = open.database().metadata("builder_version").c_str();
    plain.content_sha256 = open.database().metadata("content_sha256").c_str();
    plain.source_count = static_cast<std::int32_t>(baseline.sources.size());
    open.fill_divisors(plain);
    return plain;
}

thirstline_source plain_source(const Source& source) {
    thirstline_source plain{};
    plain.name = source.name.c_str();
    plain.variable = source.variable.c_str();
    plain.period = source.period.c_str();
    plain.licence = source.licence.c_str();
    plain.attribution = source.attribution.c_str();
    plain.url = source.url.c_str();
    plain.values_used = source.values_used;
    return plain;
}

}  // namespace

}  // namespace thirstline

using namespace thirstline;

const char* thirstline_version(void) {
    return THIRSTLINE_VERSION_STRING;
}

int32_t thirstline_version_number(void) {
    return THIRSTLINE_VERSION_NUMBER;
}

/// `open` returns Result<std::unique_ptr<Database>>.
template <class Open>
static thirstline_status opened(thirstline_file** file, thirstline_error* error, const Open& open) {
    if (file != nullptr) *file = nullptr;
    return status_after(error, [&]() -> Result<CallOutcome> {
        TRY(check_pointer(file, "file"));
        auto database = TRY(open());
        *file = new thirstline_file{OpenFile(std::move(database))};
        return CallOutcome{};
    });
}

static thirstline_status opened_by_path(const char* path, FileAccess access, thirstline_file** file,
                                        thirstline_error* error) {
    return opened(file, error, [&]() -> Result<std::unique_ptr<Database>> {
        TRY(check_pointer(path, "path"));
        return Database::open(path, access);
    });
}

thirstline_status thirstline_open(const char* path, thirstline_file** file,
                                  thirstline_error* error) {
    return opened_by_path(path, FileAccess::read, file, error);
}

thirstline_status thirstline_open_mapped(const char* path, thirstline_file** file,
                                         thirstline_error* error) {
    return opened_by_path(path, FileAccess::mapped, file, error);
}

thirstline_status thirstline_open_memory(const void* bytes, size_t size, thirstline_file** file,
                                         thirstline_error* error) {
    return opened(file, error, [&]() -> Result<std::unique_ptr<Database>> {
        TRY(check_pointer(bytes, "bytes"));
        auto memory = TRY(OpenedFile::in_memory({static_cast<const std::uint8_t*>(bytes), size}));
        return Database::over(std::move(memory));
    });
}

thirstline_status thirstline_open_descriptor(int descriptor, int64_t offset, int64_t size,
                                             thirstline_file** file, thirstline_error* error) {
    return opened(file, error, [&]() -> Result<std::unique_ptr<Database>> {
        auto part = TRY(OpenedFile::of_descriptor(descriptor, offset, size));
        return Database::over(std::move(part));
    });
}

void thirstline_close(thirstline_file* file) {
    delete file;
}

thirstline_status thirstline_verify(thirstline_file* file, thirstline_error* error) {
    return status_with(file, error, [&]() -> Result<CallOutcome> {
        TRY(verify_database(file->open.database()));
        return CallOutcome{};
    });
}

thirstline_status thirstline_site_at(thirstline_file* file, thirstline_lat_lon lat_lon,
                                     const int32_t* elevation_m, thirstline_site* site,
                                     thirstline_error* error) {
    return status_with(file, error, [&]() -> Result<CallOutcome> {
        SiteQuestion question;
        question.lat_lon = {lat_lon.lat_deg, lat_lon.lon_deg};
        question.elevation_m = optional_of(elevation_m);
        return answer_one(file, question, site);
    });
}

thirstline_status thirstline_site_of_postal_code(thirstline_file* file, const char* code,
                                                 const char* country, const int32_t* elevation_m,
                                                 thirstline_site* site, thirstline_error* error) {
    return status_with(file, error, [&]() -> Result<CallOutcome> {
        TRY(check_pointer(code, "code"));
        SiteQuestion question;
        question.postal = code;
        if (country != nullptr) question.country = country;
        question.elevation_m = optional_of(elevation_m);
        return answer_one(file, question, site);
    });
}

thirstline_status thirstline_sites(thirstline_file* file, const thirstline_query* queries,
                                   size_t count, int32_t jobs, thirstline_site* sites,
                                   thirstline_error* error) {
    return status_with(file, error, [&]() -> Result<CallOutcome> {
        return answer_all(file, queries, count, jobs, sites);
    });
}

thirstline_status thirstline_sites_in_arrays(thirstline_file* file, const double* lat_deg,
                                             const double* lon_deg, const int32_t* elevation_m,
                                             size_t count, int32_t jobs,
                                             const thirstline_site_arrays* arrays,
                                             thirstline_error* error) {
    return status_with(file, error, [&]() -> Result<CallOutcome> {
        return answer_in_arrays(file, {lat_deg, lon_deg, elevation_m, count}, jobs, arrays);
    });
}

thirstline_status thirstline_site_json(thirstline_file* file, const thirstline_query* query,
                                       const thirstline_json_options* options, const char** json,
                                       thirstline_error* error) {
    return status_with(file, error, [&]() -> Result<CallOutcome> {
        return answer_as_json(file, query, options, json,
                              [file](const SiteQuestion& question, const JsonChoices& choices) {
                                  return site_json_reply(file->open.database(), question, choices);
                              });
    });
}

thirstline_status thirstline_demand_json(thirstline_file* file, const thirstline_query* query,
                                         const char* zones, const thirstline_json_options* options,
                                         const char** json, thirstline_error* error) {
    return status_with(file, error, [&]() -> Result<CallOutcome> {
        TRY(check_pointer(zones, "zones"));
        return answer_as_json(
            file, query, options, json,
            [file, zones](const SiteQuestion& question, const JsonChoices& choices) {
                return demand_json_reply(file->open.database(), question, zones, choices);
            });
    });
}

thirstline_status thirstline_stations_near(thirstline_file* file, thirstline_lat_lon lat_lon,
                                           const int32_t* elevation_m, thirstline_station* stations,
                                           size_t capacity, size_t* count,
                                           thirstline_error* error) {
    return status_with(file, error, [&]() -> Result<CallOutcome> {
        return stations_of(file->open, lat_lon, elevation_m, stations, capacity, count);
    });
}

thirstline_status thirstline_get_baseline(thirstline_file* file, thirstline_baseline* baseline,
                                          thirstline_error* error) {
    return status_with(file, error, [&]() -> Result<CallOutcome> {
        TRY(check_struct(baseline, kMinBaseline, "baseline"));
        const auto known = TRY(file->open.baseline());
        copy_struct(baseline, baseline->struct_size, plain_baseline(file->open, *known));
        return CallOutcome{};
    });
}

thirstline_status thirstline_get_source(thirstline_file* file, int32_t index,
                                        thirstline_source* source, thirstline_error* error) {
    return status_with(file, error, [&]() -> Result<CallOutcome> {
        TRY(check_struct(source, kMinSource, "source"));
        const auto known = TRY(file->open.baseline());
        const auto& sources = known->sources;
        if (index < 0 || static_cast<std::size_t>(index) >= sources.size()) {
            return fail(ErrorCode::usage, "there is no source " + std::to_string(index) +
                                              " among " + std::to_string(sources.size()));
        }
        copy_struct(source, source->struct_size,
                    plain_source(sources[static_cast<std::size_t>(index)]));
        return CallOutcome{};
    });
}

double thirstline_rounded(double value, int32_t decimals) {
    if (!(std::fabs(value) < kRoundedBelow)) return value;
    return rounded(value, std::clamp(decimals, std::int32_t{0}, kMaxDecimals));
}
