#include "lookup/sql_extension/info_function.hpp"

#include <string>
#include <utility>

#include "schema/database/database_report.hpp"
#include "schema/database/missing_rows.hpp"

namespace thirstline {
namespace {

/// Metadata of the file.
constexpr const char* kTexts[] = {"title",  "region",          "publisher",
                                  "period", "reference",       "site_correction",
                                  "notice", "builder_version", "content_sha256"};

struct Divisor {
    const char* name;
    std::int32_t thirstline_baseline::*of;
};
constexpr Divisor kDivisors[] = {
    {"eto_units_per_mm_per_day", &thirstline_baseline::eto_units_per_mm_per_day},
    {"eto_se_units_per_mm_per_day", &thirstline_baseline::eto_se_units_per_mm_per_day},
    {"rain_units_per_mm", &thirstline_baseline::rain_units_per_mm},
    {"rain_se_units_per_mm", &thirstline_baseline::rain_se_units_per_mm},
    {"tmax_units_per_degree", &thirstline_baseline::tmax_units_per_degree},
    {"tmin_units_per_degree", &thirstline_baseline::tmin_units_per_degree},
};

class InfoRow final : public SqlRows {
  public:
    explicit InfoRow(std::vector<SqlValue> values) : values_(std::move(values)) {}
    Result<bool> next() override { return !std::exchange(is_read_, true); }
    SqlValue value(std::size_t column) const override { return values_[column]; }

  private:
    std::vector<SqlValue> values_;
    bool is_read_ = false;
};

Result<std::unique_ptr<SqlRows>> row_of_info(FilesOfConnection& files, SqlCall call) {
    const auto file = TRY(files.file(call.arguments[0]));
    auto json = database_info_json(file->database());
    TRY(files.check_unchanged(*file));
    if (!json) return fail(json.error());
    std::vector<SqlValue> values;
    for (const char* key : kTexts) {
        values.emplace_back(std::string_view(key) == "notice" ? shown_notice(file->database())
                                                              : file->database().metadata(key));
    }
    thirstline_baseline divisors{};
    file->fill_divisors(divisors);
    for (const Divisor& divisor : kDivisors) {
        const std::int32_t units = divisors.*divisor.of;
        values.push_back(units == 0 ? SqlValue() : SqlValue(std::int64_t{units}));
    }
    values.emplace_back(std::move(*json));
    values.push_back(std::move(call.arguments[0]));
    return std::make_unique<InfoRow>(std::move(values));
}

std::vector<SqlColumn> columns_of_info() {
    std::vector<SqlColumn> columns;
    for (const char* key : kTexts) columns.push_back({key, "TEXT"});
    for (const Divisor& divisor : kDivisors) columns.push_back({divisor.name, "INTEGER"});
    columns.push_back({"info_json", "TEXT"});
    return columns;
}

}  // namespace

SqlFunction info_function(std::shared_ptr<FilesOfConnection> files) {
    return {
        "thirstline_info",
        columns_of_info(),
        {{"file", "TEXT"}},
        1,
        {},
        [files = std::move(files)](SqlCall call) { return row_of_info(*files, std::move(call)); }};
}

}  // namespace thirstline
