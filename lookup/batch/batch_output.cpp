#include "lookup/batch/batch_output.hpp"

#include <algorithm>
#include <array>
#include <vector>

#include "lookup/site/layer_values.hpp"
#include "lookup/site/site_profile.hpp"
#include "lookup/site/wet_and_dry_years.hpp"
#include "lookup/site_output/answer_decimals.hpp"
#include "lookup/site_output/site_json.hpp"
#include "schema/files/csv_rows.hpp"
#include "schema/text/decimal_text.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

struct MonthColumns {
    std::string_view name;
    LayerId layer;
    bool is_a_day;  ///< stored per day, written per month
    std::optional<double> MonthProfile::*of_profile;
};

constexpr std::array kAlwaysThere{
    MonthColumns{"eto_mm", LayerId::eto, true, &MonthProfile::eto_mm},
    MonthColumns{"rain_mm", LayerId::rain, false, &MonthProfile::rain_mm},
    MonthColumns{"eto_se_mm", LayerId::eto_se, true, &MonthProfile::eto_se_mm},
    MonthColumns{"rain_se_mm", LayerId::rain_se, false, &MonthProfile::rain_se_mm},
};
constexpr std::array kTemperature{
    MonthColumns{"tmax_c", LayerId::tmax, false, &MonthProfile::tmax_c},
    MonthColumns{"tmin_c", LayerId::tmin, false, &MonthProfile::tmin_c},
};
constexpr int kDecimals = 1;  // of mm and of °C

constexpr std::size_t kMaxMonthColumns = (kAlwaysThere.size() + kTemperature.size()) * kMonths;
constexpr std::size_t kLongestMethodName = 32;
/// Maximum length of a record from the comma before its lat: numbers, each with a comma or line
/// end.
constexpr std::size_t kLongestNumbers =
    (5 + kMaxMonthColumns) * (kLongestDecimal + 1) + kLongestMethodName;

template <int kPlaces>
char* write_fixed(char* at, double value) {
    return write_scaled<kPlaces>(at, rounded_to_integer(value, kPlaces));
}

char* write_months(char* at, const LayerValues& values, bool is_a_day) {
    for (int month = 0; month < kMonths; ++month) {
        *at++ = ',';
        const double times = is_a_day ? kDaysInMonth[static_cast<std::size_t>(month)] : 1.0;
        if (const auto value = values.at(month, times)) at = write_fixed<kDecimals>(at, *value);
    }
    return at;
}

char* write_months(char* at, const SiteProfile& profile, const MonthColumns& columns) {
    for (const MonthProfile& month : profile.months) {
        *at++ = ',';
        if (const auto& value = month.*columns.of_profile) at = write_fixed<kDecimals>(at, *value);
    }
    return at;
}

/// The first of the months with the largest ETo, 1 to 12; nothing if ETo is unknown in all.
std::optional<int> peak_month(const Answer& answer) {
    const Monthly<std::int32_t>& eto = answer.of(LayerId::eto);
    const auto most = std::max_element(eto.begin(), eto.end());
    if (*most <= 0) return std::nullopt;
    return static_cast<int>(most - eto.begin()) + 1;
}

class BatchCsvWriter final : public BatchWriter {
  public:
    BatchCsvWriter(const TileLayout& layout, std::optional<double> year_percent)
        : layout_(layout),
          year_percent_(year_percent),
          columns_(kAlwaysThere.begin(), kAlwaysThere.end()) {
        if (layout.find(LayerId::tmax) != nullptr && layout.find(LayerId::tmin) != nullptr)
            columns_.insert(columns_.end(), kTemperature.begin(), kTemperature.end());
    }

    void append_head(std::string& out) const override {
        out += "id,found,reason,lat,lon,elevation_m,distance_km,method,peak_month";
        for (const MonthColumns& columns : columns_) {
            for (int month = 1; month <= kMonths; ++month) {
                out += "," + std::string(columns.name) + (month < 10 ? "_0" : "_") +
                       std::to_string(month);
            }
        }
        out.push_back('\n');
    }

    bool needs_years() const override { return year_percent_.has_value(); }
    Result<void> append_site(std::string& out, const std::optional<std::string_view>& id,
                             const SiteQuery& query, const Answer& answer,
                             const std::string& /*period*/) const override {
        std::optional<SiteProfile> of_year;
        if (year_percent_) {
            of_year = site_profile(answer, layout_);
            TRY(describe_year(*of_year, year_percent_));
        }
        append_start(out, id, query, true, {});
        std::array<char, kLongestNumbers> text;
        char* const end = write_numbers(text.data(), answer, of_year);
        out.append(text.data(), end);
        return {};
    }

    void append_miss(std::string& out, const std::optional<std::string_view>& id,
                     const SiteQuery& query, std::string_view reason) const override {
        append_start(out, id, query, false, reason);
        constexpr std::size_t kAfterPosition = 3;  // commas, elevation_m to peak_month
        out.append(kAfterPosition + columns_.size() * kMonths, ',');
        out.push_back('\n');
    }

  private:
    /// id, found, reason, lat, lon and the comma after them
    static void append_start(std::string& out, const std::optional<std::string_view>& id,
                             const SiteQuery& query, bool found, std::string_view reason) {
        if (id) append_csv_text(out, *id);
        out += found ? ",true," : ",false,";
        append_csv_field(out, reason);
        out.push_back(',');
        if (query.position) append_degrees(out, query.position->lat_e7);
        out.push_back(',');
        if (query.position) append_degrees(out, query.position->lon_e7);
        out.push_back(',');
    }

    /// From elevation_m to the end of the line.
    char* write_numbers(char* at, const Answer& answer,
                        const std::optional<SiteProfile>& of_year) const {
        const LayerValues elevation(answer, layout_, LayerId::elevation);
        if (const auto metres = elevation.at(0)) at = write_fixed<kMetreDecimals>(at, *metres);
        *at++ = ',';
        at = write_fixed<kKilometreDecimals>(at, answer.distance_m / 1000.0);
        *at++ = ',';
        at = std::ranges::copy(method_name(least_method(answer)), at).out;
        *at++ = ',';
        if (const auto month = of_year ? of_year->peak_month : peak_month(answer))
            at = write_scaled<0>(at, *month);
        for (const MonthColumns& columns : columns_)
            at = of_year ? write_months(at, *of_year, columns)
                         : write_months(at, LayerValues(answer, layout_, columns.layer),
                                        columns.is_a_day);
        *at++ = '\n';
        return at;
    }

    const TileLayout& layout_;
    std::optional<double> year_percent_;
    std::vector<MonthColumns> columns_;
};

class BatchNdjsonWriter final : public BatchWriter {
  public:
    BatchNdjsonWriter(const Baseline& baseline, const TileLayout& layout,
                      std::optional<double> year_percent)
        : lines_(baseline), layout_(layout), year_percent_(year_percent) {}

    void append_head(std::string& /*out*/) const override {}
    bool needs_years() const override { return true; }
    Result<void> append_site(std::string& out, const std::optional<std::string_view>& id,
                             const SiteQuery& query, const Answer& answer,
                             const std::string& period) const override {
        SiteProfile profile = site_profile(answer, layout_);
        TRY(describe_year(profile, year_percent_));
        lines_.append_site(out, id, query, profile, period);
        return {};
    }
    void append_miss(std::string& out, const std::optional<std::string_view>& id,
                     const SiteQuery& query, std::string_view reason) const override {
        lines_.append_miss(out, id, query, reason);
    }

  private:
    SiteJsonLines lines_;
    const TileLayout& layout_;
    std::optional<double> year_percent_;
};

}  // namespace

std::unique_ptr<BatchWriter> batch_csv_writer(const TileLayout& layout,
                                              std::optional<double> year_percent) {
    return std::make_unique<BatchCsvWriter>(layout, year_percent);
}

std::unique_ptr<BatchWriter> batch_ndjson_writer(const Baseline& baseline, const TileLayout& layout,
                                                 std::optional<double> year_percent) {
    return std::make_unique<BatchNdjsonWriter>(baseline, layout, year_percent);
}

}  // namespace thirstline
