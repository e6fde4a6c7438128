#include "builder/pipeline/tile_values.hpp"

#include <cmath>

namespace thirstline {

namespace {

void set(Tile& tile, const TileLayout& layout, LayerId id, std::size_t at, double value) {
    const Layer* layer = layout.find(id);
    if (layer != nullptr) tile.of(id)[at] = quantised(*layer, value);
}

}  // namespace

void GradientMean::MonthlyMean::add(const Monthly<double>& values) {
    for (std::size_t month = 0; month < kMonths; ++month) {
        if (!std::isfinite(values[month])) continue;
        sum[month] += values[month];
        ++count[month];
    }
}

double GradientMean::MonthlyMean::mean(std::size_t month) const {
    return count[month] > 0 ? sum[month] / count[month] : kUnknown;
}

void GradientMean::add(const RecordGradients& gradients) {
    is_empty_ = false;
    eto_.add(gradients.eto_mm_per_day_per_km);
    rain_.add(gradients.rain_share_per_km);
    tmax_.add(gradients.tmax_c_per_km);
    tmin_.add(gradients.tmin_c_per_km);
}

void GradientMean::store(Tile& tile, const TileLayout& layout) const {
    for (std::size_t month = 0; month < kMonths; ++month) {
        set(tile, layout, LayerId::eto_gradient, month, eto_.mean(month));
        set(tile, layout, LayerId::rain_gradient, month, rain_.mean(month));
        set(tile, layout, LayerId::tmax_gradient, month, tmax_.mean(month));
        set(tile, layout, LayerId::tmin_gradient, month, tmin_.mean(month));
    }
}

void store_record(Tile& tile, const TileLayout& layout, int slot, const PointRecord& record,
                  std::uint8_t period_set) {
    const auto at = static_cast<std::size_t>(slot);
    const auto first = at * kMonths;
    const bool has_temperature = all_known(record.tmax_c) && all_known(record.tmin_c);
    tile.present[at] = 1;
    for (std::size_t month = 0; month < kMonths; ++month) {
        set(tile, layout, LayerId::eto, first + month, record.eto_mm_per_day[month]);
        set(tile, layout, LayerId::eto_se, first + month, record.eto_se_mm_per_day[month]);
        set(tile, layout, LayerId::rain, first + month, record.rain_mm[month]);
        set(tile, layout, LayerId::rain_se, first + month, record.rain_se_mm[month]);
        if (has_temperature) {
            set(tile, layout, LayerId::tmax, first + month, record.tmax_c[month]);
            set(tile, layout, LayerId::tmin, first + month, record.tmin_c[month]);
        }
        set(tile, layout, LayerId::method, first + month, record.method[month]);
    }
    if (record.years) {
        const YearSlopes& slopes = record.years->slopes;
        for (std::size_t month = 0; month < kMonths; ++month) {
            set(tile, layout, LayerId::eto_year_slope, first + month, slopes.eto_share[month]);
            set(tile, layout, LayerId::rain_year_slope, first + month, slopes.rain_share[month]);
        }
        set(tile, layout, LayerId::normals_deviate, at, slopes.deviate_of_normals);
        set(tile, layout, LayerId::year_slope_se, at, record.years->error_share);
    }
    set(tile, layout, LayerId::period, at, period_set);
    set(tile, layout, LayerId::elevation, at, record.elevation_m);
}

}  // namespace thirstline
