#include "builder/publish/report_maps.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "builder/publish/map_outline.hpp"
#include "builder/publish/report_text.hpp"
#include "schema/text/html_text.hpp"
#include "schema/text/word_lists.hpp"

namespace thirstline {

namespace {

constexpr double kWidth = 300.0;
constexpr double kGreatestHeight = 340.0;

/// How a grid of cells fills a picture: a degree of longitude is narrower than one of latitude.
struct Picture {
    double width = kWidth;
    double height = 0.0;
};

Picture picture_of(const MapGrid& grid) {
    const double middle_deg =
        (grid.south_arcsec + grid.rows * 0.5 * grid.spacing_arcsec) / kArcsecPerDegree;
    const double narrowing = std::max(0.2, std::cos(middle_deg * std::numbers::pi / 180.0));
    Picture picture;
    picture.height = kWidth * grid.rows / (grid.columns * narrowing);
    if (picture.height > kGreatestHeight) {
        picture.width *= kGreatestHeight / picture.height;
        picture.height = kGreatestHeight;
    }
    return picture;
}

std::string short_number(double value, const char* format = "%.4g") {
    char text[32];
    std::snprintf(text, sizeof text, format, value);
    return text;
}

/// The picture's element; the drawing uses cells as units, with rows counted from the north.
std::string picture_html(const MapGrid& grid, const std::string& label, const std::string& drawn) {
    const Picture picture = picture_of(grid);
    return "<svg viewBox=\"-1 -1 " + short_number(kWidth + 2.0) + " " +
           short_number(picture.height + 2.0) + "\" role=\"img\" aria-label=\"" + escaped(label) +
           "\"><g transform=\"translate(" + short_number((kWidth - picture.width) / 2.0) +
           " 0) scale(" + short_number(picture.width / grid.columns, "%.6g") + " " +
           short_number(picture.height / grid.rows, "%.6g") + ")\">\n" + drawn + "</g></svg>\n";
}

std::string outline_path(const MapRaster& map) {
    std::string path;
    for (const auto& ring : outline_rings(map.has_data, map.grid.rows, map.grid.columns)) {
        char command = 'M';
        for (const CellCorner& corner : ring) {
            path += command + std::to_string(corner.column) + " " +
                    std::to_string(map.grid.rows - corner.row);
            command = 'L';
        }
        path += "z";
    }
    return "<path class=\"outline\" d=\"" + path + "\"/>\n";
}

int class_of(double value, const std::vector<double>& bounds) {
    return static_cast<int>(std::ranges::upper_bound(bounds, value) - bounds.begin());
}

/// A few classes use the same range of shades as many.
std::string shade_of(int own, const std::vector<double>& bounds) {
    if (bounds.empty()) return "m2";
    const double step = (kMapShades - 1.0) / static_cast<double>(bounds.size());
    return "m" + std::to_string(std::lround(own * step));
}

/// Rows of cells of one class as rectangles, one path per class.
std::string class_paths(const MapRaster& map, const MapLayer& layer,
                        const std::vector<double>& bounds) {
    std::array<std::string, kMapShades> paths;
    const MapGrid& grid = map.grid;
    const auto class_at = [&](int row, int column) {
        const auto& value =
            layer.values[static_cast<std::size_t>(row) * static_cast<std::size_t>(grid.columns) +
                         static_cast<std::size_t>(column)];
        return value ? class_of(*value, bounds) : -1;
    };
    for (int row = 0; row < grid.rows; ++row) {
        for (int column = 0; column < grid.columns;) {
            const int own = class_at(row, column);
            int end = column + 1;
            while (end < grid.columns && class_at(row, end) == own) ++end;
            if (own >= 0) {
                const std::string length = std::to_string(end - column);
                paths[static_cast<std::size_t>(own)] += "M" + std::to_string(column) + " " +
                                                        std::to_string(grid.rows - 1 - row) + "h" +
                                                        length + "v1h-" + length + "z";
            }
            column = end;
        }
    }
    std::string html;
    for (int own = 0; own < kMapShades; ++own) {
        const std::string& path = paths[static_cast<std::size_t>(own)];
        if (path.empty()) continue;
        html += "<path class=\"" + shade_of(own, bounds) + "\" d=\"" + path + "\"/>\n";
    }
    return html;
}

/// "650 mm", "6%"
std::string with_unit(const std::string& number, const std::string& unit) {
    return number + (unit == "%" ? "" : " ") + unit;
}

std::string legend_html(const std::vector<double>& bounds, const MapLayer& layer) {
    const bool is_fine = std::ranges::any_of(
        bounds, [](double bound) { return std::fabs(bound - std::round(bound)) > 0.01; });
    const auto bound_text = [&](std::size_t i) { return fixed_text(bounds[i], is_fine ? 1 : 0); };
    const char* to = !bounds.empty() && bounds.front() < 0.0 ? " to " : "–";
    std::string html = "<ol class=\"legend\">";
    for (std::size_t own = 0; own <= bounds.size() && !bounds.empty(); ++own) {
        const std::string words = own == 0 ? "below " + with_unit(bound_text(0), layer.unit)
                                  : own == bounds.size()
                                      ? bound_text(own - 1) + " or more"
                                      : bound_text(own - 1) + to + bound_text(own);
        html += "<li><span class=\"" + shade_of(static_cast<int>(own), bounds) + "\"></span>" +
                escaped(words) + "</li>";
    }
    return html + "</ol>\n";
}

std::vector<double> known_values(const MapLayer& layer) {
    std::vector<double> values;
    for (const auto& value : layer.values)
        if (value) values.push_back(*value);
    return values;
}

/// At least one value must be known.
std::string layer_figure(const MapRaster& map, const MapLayer& layer,
                         const std::vector<double>& bounds) {
    const std::vector<double> values = known_values(layer);
    const auto [least, greatest] = std::ranges::minmax(values);
    const std::string title = capitalised(layer.name);
    const std::string range = "From " + fixed_text(least, layer.decimals) + " to " +
                              with_unit(fixed_text(greatest, layer.decimals), layer.unit) +
                              " on the map.";
    return "<figure class=\"" + escaped(layer.id) + "\">\n" +
           element("figcaption", title + ", " + layer.unit) +
           picture_html(map.grid, title + ". " + range,
                        class_paths(map, layer, bounds) + outline_path(map)) +
           legend_html(bounds, layer) + element("p", range, "note") + "</figure>\n";
}

std::string station_figure(const MapRaster& map, const std::vector<StationRecord>& stations) {
    const MapGrid& grid = map.grid;
    std::string dots;
    std::int64_t shown = 0;
    for (const StationRecord& station : stations) {
        const LatLon at = to_degrees(station.position);
        double east_arcsec = at.lon_deg * kArcsecPerDegree - grid.west_arcsec;
        if (east_arcsec < 0.0) east_arcsec += kArcsecPerCircle;
        const double column = east_arcsec / grid.spacing_arcsec;
        const double row =
            (at.lat_deg * kArcsecPerDegree - grid.south_arcsec) / grid.spacing_arcsec;
        if (column > grid.columns || row < 0.0 || row > grid.rows) continue;
        ++shown;
        dots += "M" + short_number(column) + " " + short_number(grid.rows - row) + "h0";
    }
    if (shown == 0) return {};
    const std::string title = "Stations";
    const std::string count = counted_text(shown) + " of " +
                              counted_text(static_cast<std::int64_t>(stations.size())) +
                              (shown == 1 ? " is" : " are") + " on the map.";
    return "<figure class=\"stations\">\n" + element("figcaption", title) +
           picture_html(grid, title + ". " + count,
                        outline_path(map) + "<path class=\"dots\" d=\"" + dots + "\"/>\n") +
           element("p", count, "note") + "</figure>\n";
}

}  // namespace

std::vector<double> class_bounds(std::vector<double> values) {
    std::vector<double> bounds;
    if (values.empty()) return bounds;
    std::ranges::sort(values);
    const double range = values.back() - values.front();
    if (range <= 0.0) return bounds;
    const double unit = std::pow(10.0, std::floor(std::log10(range)) - 1.0);
    for (std::size_t i = 1; i < kMapShades; ++i) {
        const double quantile = values[i * values.size() / kMapShades];
        const double bound = std::round(quantile / unit) * unit;
        if (bound <= values.front() || bound > values.back()) continue;
        if (bounds.empty() || bound > bounds.back() + unit / 2.0) bounds.push_back(bound);
    }
    return bounds;
}

std::string map_figures(const MapRaster& map, const std::vector<StationRecord>& stations) {
    std::string html = "<div class=\"maps\">\n";
    for (const MapLayer& layer : map.layers)
        html += layer_figure(map, layer, class_bounds(known_values(layer)));
    return html + station_figure(map, stations) + "</div>\n";
}

std::vector<double> change_bounds(const std::vector<double>& changes) {
    std::vector<double> amounts;
    for (const double change : changes)
        if (change != 0.0) amounts.push_back(std::fabs(change));
    if (amounts.empty()) return {};
    std::ranges::sort(amounts);
    const auto rounded = [](double amount) {
        const double unit = std::max(0.1, std::pow(10.0, std::floor(std::log10(amount))) / 2.0);
        return std::max(unit, std::round(amount / unit) * unit);
    };
    const double usual = rounded(amounts[amounts.size() / 2]);
    const double large = std::max(rounded(amounts[amounts.size() * 9 / 10]), 2.0 * usual);
    return {-large, -usual, 0.0, usual, large};
}

std::string change_figures(const MapRaster& change) {
    std::string figures;
    for (const MapLayer& layer : change.layers) {
        const std::vector<double> values = known_values(layer);
        if (!values.empty()) figures += layer_figure(change, layer, change_bounds(values));
    }
    return figures.empty() ? "" : "<div class=\"maps\">\n" + figures + "</div>\n";
}

}  // namespace thirstline
