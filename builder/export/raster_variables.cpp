#include "builder/export/raster_variables.hpp"

#include <algorithm>

#include "builder/export/exact_decimals.hpp"
#include "builder/export/export_job.hpp"
#include "schema/answer/rounded_quotient.hpp"

namespace thirstline {

namespace {

constexpr std::int32_t kTenths = 10;
constexpr std::int64_t kQuarters = 4;

RasterVariable total_of(const Layer& stored, std::string_view name) {
    RasterVariable total;
    total.kind = RasterVariable::Kind::month_total;
    total.stored = stored;
    total.written = stored;
    total.written.name = name;
    total.written.unit = "mm";
    total.written.divisor = kTenths;
    return total;
}

const Layer* layer_of(const std::vector<Layer>& layers, LayerId id) {
    const auto found = std::ranges::find(layers, id, &Layer::id);
    return found == layers.end() ? nullptr : &*found;
}

}  // namespace

std::vector<RasterVariable> raster_variables(const std::vector<Layer>& stored) {
    std::vector<RasterVariable> variables;
    for (const Layer& layer : stored) {
        const bool is_by_day = layer.id == LayerId::eto || layer.id == LayerId::eto_se;
        if (is_by_day)
            variables.push_back(total_of(layer, layer.id == LayerId::eto ? "eto_mm" : "eto_se_mm"));
        RasterVariable own;
        own.written = layer;
        own.stored = layer;
        own.is_default = !is_by_day;
        variables.push_back(own);
        const Layer* eto = layer_of(stored, LayerId::eto);
        if (layer.id != LayerId::rain || eto == nullptr) continue;
        RasterVariable difference = total_of(*eto, "rain_minus_eto");
        difference.kind = RasterVariable::Kind::rain_minus_eto;
        difference.rain = layer;
        variables.push_back(difference);
    }
    return variables;
}

std::int32_t raster_value(const Tile& tile, const RasterVariable& variable, int slot, int month) {
    const std::int32_t value = value_at(tile, variable.stored, slot, month);
    if (value == kMissingValue || variable.kind == RasterVariable::Kind::stored) return value;
    const std::int64_t total = std::int64_t{value} * quarter_days(month) * kTenths;
    const std::int64_t per_total = variable.stored.divisor * kQuarters;
    if (variable.kind == RasterVariable::Kind::month_total)
        return static_cast<std::int32_t>(rounded_half_away(total, per_total));
    const std::int32_t rain = value_at(tile, variable.rain, slot, month);
    if (rain == kMissingValue) return kMissingValue;
    const std::int64_t per_rain = variable.rain.divisor;
    return static_cast<std::int32_t>(rounded_half_away(
        std::int64_t{rain} * kTenths * per_total - total * per_rain, per_total * per_rain));
}

}  // namespace thirstline
