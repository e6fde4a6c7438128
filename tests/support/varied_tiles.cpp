#include "tests/support/varied_tiles.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>

namespace thirstline::test {

namespace {

std::int32_t within(const Layer& layer, std::int64_t value) {
    return static_cast<std::int32_t>(
        std::clamp<std::int64_t>(value, least_value(layer), greatest_value(layer)));
}

std::int64_t anywhere(const Layer& layer, Random& random) {
    return random.between(least_value(layer), greatest_value(layer));
}

/// A number up to `greatest`, with small and large magnitudes equally frequent.
std::int64_t of_any_size(std::int64_t greatest, Random& random) {
    const std::int64_t bound = std::min(greatest, std::int64_t{1} << random.between(0, 16));
    return random.between(0, bound);
}

enum class Mask { full, none, one_point, few, most, coast, square };
enum class Field { constant, smooth, rough, noise, extremes, steps, steady };
enum class Gaps { none, scattered, same_points, whole_months, everything, one };

void choose_points(Tile& tile, Random& random) {
    const auto mask = random.chance(40) ? Mask::full : static_cast<Mask>(random.between(0, 6));
    const int edge = tile.edge;
    const auto slots = static_cast<std::int64_t>(tile.present.size());
    const std::int64_t only = random.between(0, slots - 1);
    const std::int64_t along_row = random.between(-3, 3), along_column = random.between(-3, 3);
    const std::int64_t shore = random.between(-2 * edge, 2 * edge);
    const std::int64_t first = random.between(0, edge - 1), last = random.between(first, edge - 1);
    for (std::int64_t slot = 0; slot < slots; ++slot) {
        const std::int64_t row = slot / edge, column = slot % edge;
        bool present = false;
        switch (mask) {
            case Mask::full:
                present = true;
                break;
            case Mask::none:
                break;
            case Mask::one_point:
                present = slot == only;
                break;
            case Mask::few:
                present = random.chance(8);
                break;
            case Mask::most:
                present = random.chance(92);
                break;
            case Mask::coast:
                present = along_row * row + along_column * column <= shore;
                break;
            case Mask::square:
                present = row >= first && row <= last && column >= first && column <= last;
                break;
        }
        tile.present[static_cast<std::size_t>(slot)] = present ? 1 : 0;
    }
}

/// One value per month: an annual wave of random amplitude.
std::array<std::int64_t, kMonths> year_of(const Layer& layer, Random& random) {
    const std::int64_t middle = anywhere(layer, random);
    const std::int64_t amplitude = of_any_size(greatest_value(layer), random);
    std::array<std::int64_t, kMonths> year{};
    for (std::size_t month = 0; month < kMonths; ++month) {
        const auto from_summer = static_cast<std::int64_t>(month < 6 ? 6 - month : month - 6);
        year[month] = middle + amplitude * (3 - from_summer) / 3;
    }
    return year;
}

void fill_layer(const Layer& layer, Tile& tile, Random& random) {
    const auto field = static_cast<Field>(random.between(0, 6));
    const std::size_t months = layer.shape == LayerShape::point ? 1 : kMonths;
    const auto year = year_of(layer, random);
    const std::int64_t by_row = random.between(-40, 40), by_column = random.between(-40, 40);
    const std::int64_t rough = of_any_size(greatest_value(layer), random);
    auto& values = tile.of(layer.id);
    for (std::size_t slot = 0; slot < tile.present.size(); ++slot) {
        const auto row = static_cast<std::int64_t>(slot) / tile.edge;
        const auto column = static_cast<std::int64_t>(slot) % tile.edge;
        const std::int64_t own = random.between(-rough, rough);
        for (std::size_t month = 0; month < months; ++month) {
            const std::int64_t smooth = year[month] + by_row * row + by_column * column;
            std::int64_t value = 0;
            switch (field) {
                case Field::constant:
                    value = year[0];
                    break;
                case Field::smooth:
                    value = smooth;
                    break;
                case Field::rough:
                    value = smooth + own + random.between(-rough / 8, rough / 8);
                    break;
                case Field::noise:
                    value = anywhere(layer, random);
                    break;
                case Field::extremes:
                    value = random.chance(50) ? least_value(layer) : greatest_value(layer);
                    break;
                case Field::steps:
                    value = year[month] / 256 * 256 + (column > row ? 1000 : 0);
                    break;
                case Field::steady:
                    value = year[0] + own;
                    break;
            }
            values[slot * months + month] = within(layer, value);
        }
    }
}

void leave_gaps(const Layer& layer, Tile& tile, Random& random) {
    const auto gaps = random.chance(50) ? Gaps::none : static_cast<Gaps>(random.between(1, 5));
    const std::size_t months = layer.shape == LayerShape::point ? 1 : kMonths;
    const auto percent = static_cast<int>(random.between(1, 99));
    auto& values = tile.of(layer.id);
    std::array<bool, kMonths> lacks_month{};
    for (bool& lacks : lacks_month) lacks = random.chance(30);
    const auto only =
        static_cast<std::size_t>(random.between(0, static_cast<std::int64_t>(values.size()) - 1));
    for (std::size_t slot = 0; slot < tile.present.size(); ++slot) {
        const bool lacks_point = random.chance(percent);
        for (std::size_t month = 0; month < months; ++month) {
            const std::size_t at = slot * months + month;
            const bool lacks = (gaps == Gaps::scattered && random.chance(percent)) ||
                               (gaps == Gaps::same_points && lacks_point) ||
                               (gaps == Gaps::whole_months && lacks_month[month]) ||
                               gaps == Gaps::everything || (gaps == Gaps::one && at == only);
            if (lacks || tile.present[slot] == 0) values[at] = kMissingValue;
        }
    }
}

void fill_tile_months(const Layer& layer, Tile& tile, Random& random) {
    const std::int64_t step = of_any_size(greatest_value(layer), random);
    const auto percent = static_cast<int>(random.chance(50) ? 0 : random.between(1, 100));
    std::int64_t value = random.chance(20) ? anywhere(layer, random) : 0;
    for (std::int32_t& month : tile.of(layer.id)) {
        value = within(layer, value + random.between(-step, step));
        month = random.chance(percent) ? kMissingValue : static_cast<std::int32_t>(value);
    }
}

}  // namespace

TileLayout varied_layout(int edge, bool altered, Random& random) {
    TileLayout layout;
    layout.edge = edge;
    for (Layer layer : all_layers()) {
        if (layer.id != LayerId::eto && random.chance(55)) continue;
        if (altered && random.chance(50)) {
            layer.width_bytes = static_cast<int>(random.between(1, 2));
            layer.is_signed = random.chance(50);
        }
        layout.layers.push_back(layer);
    }
    return layout;
}

Tile varied_tile(const TileLayout& layout, Random& random) {
    Tile tile = Tile::empty(layout);
    choose_points(tile, random);
    if (std::find(tile.present.begin(), tile.present.end(), 1) == tile.present.end()) return tile;
    for (const Layer& layer : layout.layers) {
        if (layer.shape == LayerShape::tile_month) {
            fill_tile_months(layer, tile, random);
        } else {
            fill_layer(layer, tile, random);
            leave_gaps(layer, tile, random);
        }
    }
    return tile;
}

int number_from_environment(const char* name, int otherwise) {
    const char* text = std::getenv(name);
    const int number = text != nullptr ? std::atoi(text) : 0;
    return number > 0 ? number : otherwise;
}

}  // namespace thirstline::test
