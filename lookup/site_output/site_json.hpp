// The answer about a site as JSON, schema version 1. Names are fixed: add, never rename. Numbers
// are always metric, rounded half away from zero: mm, °C and percent to 0.1, mm/day to 0.01, steps
// to 0.001 mm. What is not known is null; Tmax and Tmin are absent where the file has no
// temperature.
//
// Texts are made valid UTF-8, so that what comes out is JSON whatever the file holds.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "lookup/site/site_report.hpp"
#include "schema/text/json_writer.hpp"

namespace thirstline {

/// The member "query": what was asked.
void write_query(JsonWriter& json, const SiteQuery& query);

/// From "found" to "peak_month": what stands between the query and the sources.
void write_answer(JsonWriter& json, const SiteProfile& profile, const std::string& period);

/// The member "sources", the user's own record first.
void write_sources(JsonWriter& json, const Baseline& baseline, const std::optional<OwnRecord>& own);

/// The member "baseline".
void write_baseline(JsonWriter& json, const Baseline& baseline);

inline constexpr int kSchemaVersion = 1;

/// With a final line end.
[[nodiscard]] std::string site_json(const SiteReport& report, JsonLayout layout);
[[nodiscard]] std::string miss_json(const SiteQuery& query, std::string_view reason,
                                    JsonLayout layout);

/// Many answers from one file, a line each: what is the same in all is made into text once.
class SiteJsonLines {
  public:
    explicit SiteJsonLines(const Baseline& baseline);

    /// `id` is the caller's name for the row; null in the JSON if it has none.
    void append_site(std::string& out, const std::optional<std::string_view>& id,
                     const SiteQuery& query, const SiteProfile& profile,
                     const std::string& period) const;
    void append_miss(std::string& out, const std::optional<std::string_view>& id,
                     const SiteQuery& query, std::string_view reason) const;

  private:
    std::string tail_;  ///< sources and baseline, from the comma before them to the last brace
};

}  // namespace thirstline
