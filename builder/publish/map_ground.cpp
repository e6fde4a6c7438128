#include "builder/publish/map_ground.hpp"

#include <cpl_conv.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>

#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/vector_layers.hpp"
#include "schema/geo/lattice.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

namespace {

using OrderedJson = nlohmann::ordered_json;
using Geometry = std::unique_ptr<OGRGeometry>;

/// The map shows some of what is around the data, more of it to the sides: it is wider than high.
/// As shares of the longer side of the data.
constexpr double kMarginLat = 0.15;
constexpr double kMarginLon = 0.6;
/// Steps along the longer side, at first; the page magnifies 64 times at most.
constexpr int kFinestSteps = 40'000;
constexpr int kCoarsestSteps = 400;
constexpr std::size_t kMaxPlaces = 300;
constexpr double kMaxCorners = 10e6;

OGRPolygon frame_of(const OGREnvelope& box) {
    OGRLinearRing ring;
    ring.addPoint(box.MinX, box.MinY);
    ring.addPoint(box.MaxX, box.MinY);
    ring.addPoint(box.MaxX, box.MaxY);
    ring.addPoint(box.MinX, box.MaxY);
    ring.closeRings();
    OGRPolygon frame;
    frame.addRing(&ring);
    return frame;
}

struct Place {
    double lon = 0.0;
    double lat = 0.0;
    std::string name;
};

class Ground {
  public:
    explicit Ground(const MapGrid& grid) {
        const double west = static_cast<double>(grid.west_arcsec) / kArcsecPerDegree;
        const double south = static_cast<double>(grid.south_arcsec) / kArcsecPerDegree;
        const double cell = static_cast<double>(grid.spacing_arcsec) / kArcsecPerDegree;
        const double side = cell * std::max(grid.columns, grid.rows);
        box_.MinX = west - kMarginLon * side;
        box_.MaxX = west + cell * grid.columns + kMarginLon * side;
        box_.MinY = std::max(-90.0, south - kMarginLat * side);
        box_.MaxY = std::min(90.0, south + cell * grid.rows + kMarginLat * side);
    }

    Result<void> read(const std::string& path) {
        const GdalMessages messages;
        const auto file = TRY(opened_vector_file(path, "the ground"));
        for (OGRLayer* layer : file->GetLayers()) TRY(read(*file, *layer, path));
        if (messages.first_failure().empty()) return {};
        return fail(ErrorCode::bad_input, "reading " + path + messages.after_colon());
    }

    [[nodiscard]] bool empty() const { return lines_.IsEmpty() != 0 && places_.empty(); }

    [[nodiscard]] std::string json(int steps) const {
        const double step = std::max(box_.MaxX - box_.MinX, box_.MaxY - box_.MinY) / steps;
        OrderedJson lines = OrderedJson::array();
        for (const OGRLineString* line : lines_) {
            const Geometry simple(line->Simplify(step));
            if (!simple || OGR_GT_Flatten(simple->getGeometryType()) != wkbLineString) continue;
            OrderedJson steps_of_line = line_json(*simple->toLineString(), step);
            if (steps_of_line.size() > 2) lines.push_back(std::move(steps_of_line));
        }
        OrderedJson places = OrderedJson::array();
        for (const Place& place : places_) {
            places.push_back({std::llround((place.lon - box_.MinX) / step),
                              std::llround((place.lat - box_.MinY) / step), place.name});
        }
        const OrderedJson json{{"west", box_.MinX},
                               {"south", box_.MinY},
                               {"step", step},
                               {"lines", std::move(lines)},
                               {"places", std::move(places)}};
        return json.dump() + "\n";
    }

  private:
    Result<void> read(GDALDataset& file, OGRLayer& layer, const std::string& path) {
        const auto to_degrees = TRY(to_longitude_latitude(file, layer, path));
        const int name_field = layer.GetLayerDefn()->GetFieldIndex("name");  // of any case
        for (const auto& feature : layer) {
            Geometry shape(feature->StealGeometry());
            if (!shape || shape->IsEmpty() != 0) continue;
            const char* name = name_field < 0 ? "" : feature->GetFieldAsString(name_field);
            if (shape->transform(to_degrees.get()) != OGRERR_NONE) {
                return fail(ErrorCode::bad_input,
                            "feature " + std::to_string(feature->GetFID()) + " of " + path +
                                " cannot be converted to latitude and longitude");
            }
            TRY(add(*shape, name, path));
        }
        return {};
    }

    Result<void> add(const OGRGeometry& shape, const char* name, const std::string& path) {
        const OGRwkbGeometryType type = OGR_GT_Flatten(shape.getGeometryType());
        if (OGR_GT_IsSubClassOf(type, wkbGeometryCollection) != 0) {
            for (const OGRGeometry* part : *shape.toGeometryCollection())
                TRY(add(*part, name, path));
        } else if (type == wkbPolygon) {
            for (const OGRLinearRing* ring : *shape.toPolygon()) TRY(add_line(*ring, path));
        } else if (type == wkbLineString) {
            TRY(add_line(*shape.toLineString(), path));
        } else if (type == wkbPoint) {
            add_place(*shape.toPoint(), name);
        }
        return {};
    }

    /// The parts of a line within the box, which may be past the antimeridian.
    Result<void> add_line(const OGRLineString& line, const std::string& path) {
        corners_ += line.getNumPoints();
        if (corners_ > kMaxCorners) {
            return fail(ErrorCode::bad_input, path + " has more than ten million corners",
                        "use a file of a coarser scale");
        }
        OGREnvelope extent;
        line.getEnvelope(&extent);
        for (const double turn : {0.0, 360.0}) {
            OGREnvelope box = box_;
            box.MinX -= turn;
            box.MaxX -= turn;
            if (extent.Intersects(box) == 0) continue;
            const OGRPolygon frame = frame_of(box);
            OGRLineString open;  // a ring would be cut as an area
            open.addSubLineString(&line);
            const Geometry inside(open.Intersection(&frame));
            if (inside) keep(*inside, turn);
        }
        return {};
    }

    void keep(const OGRGeometry& inside, double turn) {
        const OGRwkbGeometryType type = OGR_GT_Flatten(inside.getGeometryType());
        if (OGR_GT_IsSubClassOf(type, wkbGeometryCollection) != 0) {
            for (const OGRGeometry* part : *inside.toGeometryCollection()) keep(*part, turn);
        } else if (type == wkbLineString) {
            OGRLineString line(*inside.toLineString());
            for (int i = 0; i < line.getNumPoints(); ++i)
                line.setPoint(i, line.getX(i) + turn, line.getY(i));
            lines_.addGeometry(&line);
        }
    }

    void add_place(const OGRPoint& point, const char* name) {
        const std::string text = plain_text(name);
        if (text.empty() || places_.size() >= kMaxPlaces) return;
        for (const double turn : {0.0, 360.0}) {
            const double lon = point.getX() + turn;
            const double lat = point.getY();
            // Not so for NaN.
            if (lon >= box_.MinX && lon <= box_.MaxX && lat >= box_.MinY && lat <= box_.MaxY)
                places_.push_back({lon, lat, text});
        }
    }

    /// The first corner, then differences; corners in the same step are one.
    OrderedJson line_json(const OGRLineString& line, double step) const {
        OrderedJson json = OrderedJson::array();
        std::int64_t last_x = 0;
        std::int64_t last_y = 0;
        for (int i = 0; i < line.getNumPoints(); ++i) {
            const std::int64_t x = std::llround((line.getX(i) - box_.MinX) / step);
            const std::int64_t y = std::llround((line.getY(i) - box_.MinY) / step);
            if (i > 0 && x == last_x && y == last_y) continue;
            json.push_back(x - last_x);
            json.push_back(y - last_y);
            last_x = x;
            last_y = y;
        }
        return json;
    }

    OGREnvelope box_;
    OGRMultiLineString lines_;
    std::vector<Place> places_;
    double corners_ = 0.0;
};

std::size_t deflated_bytes(const std::string& text) {
    std::size_t bytes = 0;
    void* deflated = CPLZLibDeflate(text.data(), text.size(), -1, nullptr, 0, &bytes);
    VSIFree(deflated);
    return bytes;
}

}  // namespace

Result<std::string> ground_json(const std::vector<std::string>& files, const MapGrid& grid) {
    Ground ground(grid);
    for (const std::string& file : files) TRY(ground.read(file));
    if (ground.empty()) {
        return fail(ErrorCode::bad_input,
                    "the ground has no line and no named point in the area of the data",
                    "look whether the coordinate system of " + files.front() + " is the right one");
    }
    for (int steps = kFinestSteps; steps > kCoarsestSteps; steps = steps * 7 / 10) {
        std::string json = ground.json(steps);
        if (deflated_bytes(json) <= kMaxGroundBytes) return json;
    }
    return fail(ErrorCode::bad_input, "the ground has too many lines to be made smaller than 60 kB",
                "use files of a coarser scale, or with fewer features");
}

}  // namespace thirstline
