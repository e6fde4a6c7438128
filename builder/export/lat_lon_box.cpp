#include "builder/export/lat_lon_box.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>

#include "builder/inputs/table_fields.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

// Smaller than the Earth's smallest radius, which gives more degrees per metre: a widened box is
// never too small.
constexpr double kSmallRadiusM = 6'350'000.0;
constexpr std::int64_t kUnitsPerDegree = kUnitsPerE7 * kE7PerDegree;

std::int64_t units_of_degrees(double degrees) {
    return std::llround(degrees * static_cast<double>(kE7PerDegree)) * kUnitsPerE7;
}

}  // namespace

Result<LatLonBox> parsed_box(std::string_view text) {
    const auto wrong = [&text](const std::string& what) {
        return fail(ErrorCode::usage,
                    "--bbox must be west,south,east,north in degrees, such as "
                    "-38.5,44.2,-37.9,44.8, not " +
                        in_quotes(text),
                    "it " + what);
    };
    constexpr std::array<const char*, 4> kNames{"west", "south", "east", "north"};
    std::array<double, 4> edges{};
    std::string_view rest = text;
    for (std::size_t i = 0; i < edges.size(); ++i) {
        const std::size_t comma = rest.find(',');
        if ((comma == std::string_view::npos) != (i == 3))
            return wrong("must have four numbers, separated by commas");
        const auto number = number_in_field(rest.substr(0, comma));
        if (!number) return wrong("has no number for " + std::string(kNames[i]));
        const double most = i % 2 == 0 ? 180.0 : 90.0;
        if (std::abs(*number) > most)
            return wrong("has an impossible " + std::string(kNames[i]) + " edge");
        edges[i] = *number;
        if (i < 3) rest.remove_prefix(comma + 1);
    }
    const auto [west, south, east, north] = edges;
    if (south > north) return wrong("has its south edge north of its north edge");
    LatLonBox box{units_of_degrees(south), units_of_degrees(north), units_of_degrees(west), 0};
    const bool is_circle = east - west == 360.0;
    box.width = is_circle ? kUnitsPerCircle : eastward(box.west, units_of_degrees(east));
    return box;
}

bool holds(const LatLonBox& box, LatLonE7 position) {
    const std::int64_t lat = position.lat_e7 * kUnitsPerE7;
    return lat >= box.south && lat <= box.north &&
           eastward(box.west, position.lon_e7 * kUnitsPerE7) <= box.width;
}

bool reaches_into(const LatLonBox& box, const LatLonBox& open) {
    if (box.south >= open.north || box.north <= open.south) return false;
    if (eastward(box.west, open.west) < box.width) return true;
    const std::int64_t into = eastward(open.west, box.west);
    return into > 0 && into < open.width;
}

bool touches(const LatLonBox& a, const LatLonBox& b) {
    if (a.south > b.north || a.north < b.south) return false;
    return eastward(a.west, b.west) <= a.width || eastward(b.west, a.west) <= b.width;
}

bool contains(const LatLonBox& outer, const LatLonBox& inner) {
    if (outer.south > inner.south || outer.north < inner.north) return false;
    return outer.width == kUnitsPerCircle ||
           eastward(outer.west, inner.west) + inner.width <= outer.width;
}

LatLonBox widened(const LatLonBox& box, double metres) {
    const double angle = metres / kSmallRadiusM;
    const auto units_of_angle = [](double radians) {
        return static_cast<std::int64_t>(
            std::ceil(radians * 180.0 / std::numbers::pi * static_cast<double>(kUnitsPerDegree)));
    };
    LatLonBox wide = box;
    wide.south -= units_of_angle(angle);
    wide.north += units_of_angle(angle);
    const double farthest_lat = static_cast<double>(std::max(-wide.south, wide.north)) /
                                static_cast<double>(kUnitsPerDegree) * std::numbers::pi / 180.0;
    // A cap of angular radius a about latitude φ extends asin(sin a / cos φ) in longitude; with the
    // latitude of the far edge instead of φ, the result is larger.
    const double ratio = std::sin(std::min(angle, 1.5)) / std::cos(std::min(farthest_lat, 1.57));
    if (std::max(-wide.south, wide.north) >= kPole || ratio >= 1.0) {
        wide.width = kUnitsPerCircle;
        return wide;
    }
    const std::int64_t side = units_of_angle(std::asin(ratio));
    wide.west -= side;
    wide.width = std::min(wide.width + 2 * side, kUnitsPerCircle);
    return wide;
}

LatLonBox box_of_cells(const Lattice& lattice, LatticePoint south_west, int cells) {
    const std::int64_t spacing = lattice.spacing_arcsec * kUnitsPerArcsec;
    const std::int64_t south =
        lattice.south_arcsec * kUnitsPerArcsec + std::int64_t{south_west.row} * spacing;
    const std::int64_t west =
        lattice.west_arcsec * kUnitsPerArcsec + std::int64_t{south_west.column} * spacing;
    return {south, south + cells * spacing, west, std::min(cells * spacing, kUnitsPerCircle)};
}

}  // namespace thirstline
