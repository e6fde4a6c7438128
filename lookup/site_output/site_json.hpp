// The answer about a site as JSON, schema version 1. Names are fixed: add, never rename. Numbers
// are always metric, rounded half away from zero: mm, °C and percent to 0.1, mm/day to 0.01, steps
// to 0.001 mm. Unknown values are null; Tmax and Tmin are absent if the file has no temperature.
//
// Texts are made valid UTF-8, so that the output is valid JSON for any file.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "lookup/site/site_report.hpp"
#include "schema/text/json_writer.hpp"

namespace thirstline {

/// The member "query".
void write_query(JsonWriter& json, const SiteQuery& query);

/// The members "found" to "peak_month": those between the query and the sources.
void write_answer(JsonWriter& json, const SiteProfile& profile, const std::string& period,
                  const Baseline& baseline);

/// The member "sources", the user's own record first.
void write_sources(JsonWriter& json, const Baseline& baseline, const std::optional<OwnRecord>& own);

/// The member "baseline".
void write_baseline(JsonWriter& json, const Baseline& baseline);

inline constexpr int kSchemaVersion = 1;

/// With a final line end.
[[nodiscard]] std::string site_json(const SiteReport& report, JsonLayout layout);
[[nodiscard]] std::string miss_json(const SiteQuery& query, std::string_view reason,
                                    JsonLayout layout);

/// Many answers from one file, one line each: the parts that are the same in all are formatted
/// once.
class SiteJsonLines {
  public:
    explicit SiteJsonLines(const Baseline& baseline);

    /// `id` is the caller's name of the row; null in the JSON if there is none.
    void append_site(std::string& out, const std::optional<std::string_view>& id,
                     const SiteQuery& query, const SiteProfile& profile,
                     const std::string& period) const;
    void append_miss(std::string& out, const std::optional<std::string_view>& id,
                     const SiteQuery& query, std::string_view reason) const;

  private:
    Baseline baseline_;
    std::string tail_;  ///< sources and baseline, from the comma before them to the last brace
};

}  // namespace thirstline
