#include "builder/publish/report_maps.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "builder/publish/map_outline.hpp"
#include "builder/publish/report_text.hpp"
#include "schema/html_text.hpp"

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

/// The picture's element; what is drawn within goes by cells, rows counted from the north.
std::string picture_html(const MapGrid& grid, const std::string& label, const std::string& drawn) {
    const Picture picture = picture_of(grid);
    return "<svg viewBox=\"0 0 " + short_number(kWidth) + " " + short_number(picture.height) +
           "\" role=\"img\" aria-label=\"" + escaped(label) + "\"><g transform=\"translate(" +
           short_number((kWidth - picture.width) / 2.0) + " 0) scale(" +
           short_number(picture.width / grid.columns, "%.6g") + " " +
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

/// Rows of cells of one class as rectangles, a path a class.
std::string class_paths(const MapRaster& map, const MapLayer& layer, const MapClasses& classes) {
    std::array<std::string, kMapShades> paths;
    const MapGrid& grid = map.grid;
    const auto class_at = [&](int row, int column) {
        const auto& value =
            layer.values[static_cast<std::size_t>(row) * static_cast<std::size_t>(grid.columns) +
                         static_cast<std::size_t>(column)];
        if (!value) return -1;
        const int of_value = static_cast<int>(std::floor((*value - classes.first) / classes.step));
        return std::clamp(of_value, 0, classes.count - 1);
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
    for (int own = 0; own < classes.count; ++own) {
        const std::string& path = paths[static_cast<std::size_t>(own)];
        if (path.empty()) continue;
        html += "<path class=\"m" + std::to_string(own) + "\" d=\"" + path + "\"/>\n";
    }
    return html;
}

std::string legend_html(const MapClasses& classes, const std::string& unit) {
    const int decimals = classes.step < 1.0 ? (classes.step < 0.1 ? 2 : 1) : 0;
    std::string html = "<ol class=\"legend\">";
    for (int own = 0; own < classes.count; ++own) {
        const double from = classes.first + own * classes.step;
        html +=
            "<li><span class=\"m" + std::to_string(own) + "\"></span>" +
            escaped(fixed_text(from, decimals) + "–" + fixed_text(from + classes.step, decimals) +
                    (own == 0 ? " " + unit : std::string())) +
            "</li>";
    }
    return html + "</ol>\n";
}

std::string layer_figure(const MapRaster& map, const MapLayer& layer) {
    double least = INFINITY;
    double greatest = -INFINITY;
    for (const auto& value : layer.values) {
        if (!value) continue;
        least = std::min(least, *value);
        greatest = std::max(greatest, *value);
    }
    const MapClasses classes = map_classes(least, greatest);
    std::string title = layer.name;
    title[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(title[0])));
    const std::string range = "From " + fixed_text(least, layer.decimals) + " to " +
                              fixed_text(greatest, layer.decimals) + " " + layer.unit +
                              " on the map.";
    return "<figure class=\"" + escaped(layer.id) + "\">\n" +
           element("figcaption", title + ", " + layer.unit) +
           picture_html(map.grid, title + ". " + range,
                        class_paths(map, layer, classes) + outline_path(map)) +
           legend_html(classes, layer.unit) + element("p", range, "note") + "</figure>\n";
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
                              (shown == 1 ? " lies" : " lie") + " on the map.";
    return "<figure class=\"stations\">\n" + element("figcaption", title) +
           picture_html(grid, title + ". " + count,
                        outline_path(map) + "<path class=\"dots\" d=\"" + dots + "\"/>\n") +
           element("p", count, "note") + "</figure>\n";
}

}  // namespace

MapClasses map_classes(double least, double greatest) {
    MapClasses classes;
    const double wanted = std::max((greatest - least) / (kMapShades - 1), 0.01);
    const double power = std::pow(10.0, std::floor(std::log10(wanted)));
    for (const double digit : {1.0, 2.0, 2.5, 5.0, 10.0}) {
        classes.step = digit * power;
        classes.first = std::floor(least / classes.step) * classes.step;
        classes.count = 1 + static_cast<int>(std::floor((greatest - classes.first) / classes.step));
        if (classes.count <= kMapShades) break;
    }
    classes.count = std::clamp(classes.count, 1, kMapShades);
    return classes;
}

std::string map_figures(const MapRaster& map, const std::vector<StationRecord>& stations) {
    std::string html = "<div class=\"maps\">\n";
    for (const MapLayer& layer : map.layers) html += layer_figure(map, layer);
    return html + station_figure(map, stations) + "</div>\n";
}

}  // namespace thirstline
