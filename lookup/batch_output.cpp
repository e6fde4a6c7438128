#include "lookup/batch_output.hpp"

#include <array>
#include <vector>

#include "lookup/rounding.hpp"
#include "lookup/site_json.hpp"
#include "schema/csv_rows.hpp"

namespace thirstline {
namespace {

struct MonthColumns {
    std::string_view name;
    std::optional<double> MonthProfile::*value;
};

constexpr std::array kAlwaysThere{
    MonthColumns{"eto_mm", &MonthProfile::eto_mm},
    MonthColumns{"rain_mm", &MonthProfile::rain_mm},
    MonthColumns{"eto_se_mm", &MonthProfile::eto_se_mm},
    MonthColumns{"rain_se_mm", &MonthProfile::rain_se_mm},
};
constexpr std::array kTemperature{
    MonthColumns{"tmax_c", &MonthProfile::tmax_c},
    MonthColumns{"tmin_c", &MonthProfile::tmin_c},
};
constexpr int kDecimals = 1;  // of mm and of °C
constexpr int kMetreDecimals = 1;
constexpr int kKilometreDecimals = 3;

class BatchCsvWriter final : public BatchWriter {
  public:
    explicit BatchCsvWriter(bool has_temperature)
        : columns_(kAlwaysThere.begin(), kAlwaysThere.end()) {
        if (has_temperature) {
            columns_.insert(columns_.end(), kTemperature.begin(), kTemperature.end());
        }
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

    void append_site(std::string& out, const std::optional<std::string_view>& id,
                     const SiteQuery& query, const SiteProfile& profile,
                     const std::string& /*period*/) const override {
        append_start(out, id, query, true, {});
        if (profile.point.elevation_m) {
            append_fixed(out, *profile.point.elevation_m, kMetreDecimals);
        }
        out.push_back(',');
        append_fixed(out, profile.point.distance_km, kKilometreDecimals);
        out.push_back(',');
        out += method_name(profile.point.method);
        out.push_back(',');
        if (profile.peak_month) out += std::to_string(*profile.peak_month);
        for (const MonthColumns& columns : columns_) {
            for (const MonthProfile& month : profile.months) {
                out.push_back(',');
                const std::optional<double>& value = month.*columns.value;
                if (value) append_fixed(out, *value, kDecimals);
            }
        }
        out.push_back('\n');
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
        if (id) append_csv_field(out, *id);
        out += found ? ",true," : ",false,";
        append_csv_field(out, reason);
        out.push_back(',');
        if (query.position) append_degrees(out, query.position->lat_e7);
        out.push_back(',');
        if (query.position) append_degrees(out, query.position->lon_e7);
        out.push_back(',');
    }

    std::vector<MonthColumns> columns_;
};

class BatchNdjsonWriter final : public BatchWriter {
  public:
    explicit BatchNdjsonWriter(const Baseline& baseline) : lines_(baseline) {}

    void append_head(std::string& /*out*/) const override {}
    void append_site(std::string& out, const std::optional<std::string_view>& id,
                     const SiteQuery& query, const SiteProfile& profile,
                     const std::string& period) const override {
        lines_.append_site(out, id, query, profile, period);
    }
    void append_miss(std::string& out, const std::optional<std::string_view>& id,
                     const SiteQuery& query, std::string_view reason) const override {
        lines_.append_miss(out, id, query, reason);
    }

  private:
    SiteJsonLines lines_;
};

}  // namespace

std::unique_ptr<BatchWriter> batch_csv_writer(bool has_temperature) {
    return std::make_unique<BatchCsvWriter>(has_temperature);
}

std::unique_ptr<BatchWriter> batch_ndjson_writer(const Baseline& baseline) {
    return std::make_unique<BatchNdjsonWriter>(baseline);
}

}  // namespace thirstline
