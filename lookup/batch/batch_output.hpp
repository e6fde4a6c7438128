// The records that `batch` writes, one for each row read, including rows without an answer.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "lookup/site/site_query.hpp"
#include "lookup/site/site_report.hpp"
#include "schema/answer/answer.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

class BatchWriter {
  public:
    BatchWriter() = default;
    BatchWriter(const BatchWriter&) = delete;
    BatchWriter& operator=(const BatchWriter&) = delete;
    virtual ~BatchWriter() = default;

    /// The text before the first record.
    virtual void append_head(std::string& out) const = 0;
    /// Whether the records describe wet and dry years.
    [[nodiscard]] virtual bool needs_years() const = 0;
    /// `answer` must have been found; `period` is that of the point's normals. Errors, with nothing
    /// appended: those of describe_year.
    [[nodiscard]] virtual Result<void> append_site(std::string& out,
                                                   const std::optional<std::string_view>& id,
                                                   const SiteQuery& query, const Answer& answer,
                                                   const std::string& period) const = 0;
    virtual void append_miss(std::string& out, const std::optional<std::string_view>& id,
                             const SiteQuery& query, std::string_view reason) const = 0;
};

/// CSV, always metric, rounded like the JSON: id, found, reason, the query's lat and lon, the
/// data's elevation_m, distance_km, method, peak_month, then for each of eto_mm, rain_mm, eto_se_mm
/// and rain_se_mm (and tmax_c, tmin_c if the file has them) twelve columns _01 to _12. `layout` is
/// that of the file, and must outlive the writer. With `year_percent` the months are those of that
/// year (describe_year).
[[nodiscard]] std::unique_ptr<BatchWriter> batch_csv_writer(const TileLayout& layout,
                                                            std::optional<double> year_percent);

/// The JSON of `site`, one line each, with the row's `id`. `layout` as above.
[[nodiscard]] std::unique_ptr<BatchWriter> batch_ndjson_writer(const Baseline& baseline,
                                                               const TileLayout& layout,
                                                               std::optional<double> year_percent);

}  // namespace thirstline
