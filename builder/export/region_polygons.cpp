#include "builder/export/region_polygons.hpp"

#include <algorithm>
#include <cmath>

#include "builder/export/ring_crossings.hpp"
#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/vector_layers.hpp"

namespace thirstline {

namespace {

constexpr double kLongestEdgeM = 1'000.0;
constexpr double kFarthestM = 1e8;  // two and a half times around the Earth
// More than a continent's coastline in fine detail. Without limits a small file could exhaust
// memory: with edges to be divided into pieces, or with rings that cross themselves.
constexpr double kMaxVertices = 10e6;
constexpr std::size_t kMaxCrossings = 100'000;
constexpr double kUnitsPerDegreeOfRings = static_cast<double>(kUnitsPerE7 * kE7PerDegree);

struct PreparedDeleter {
    void operator()(OGRPreparedGeometryH prepared) const { OGRDestroyPreparedGeometry(prepared); }
};
double degrees(std::int64_t units) {
    return static_cast<double>(units) / kUnitsPerDegreeOfRings;
}

std::int64_t units(double deg) {
    return std::llround(deg * kUnitsPerDegreeOfRings);
}

bool is_areal(const OGRGeometry& shape) {
    const OGRwkbGeometryType type = OGR_GT_Flatten(shape.getGeometryType());
    return type == wkbPolygon || type == wkbMultiPolygon;
}

/// Whether a corner is farther from the origin of a projection than any place on a map of the
/// Earth: its edge would be cut into millions of pieces.
bool is_off_the_earth(const OGRGeometry& shape, double units_per_m) {
    OGREnvelope extent;
    shape.getEnvelope(&extent);
    const double farthest = std::max({std::abs(extent.MinX), std::abs(extent.MaxX),
                                      std::abs(extent.MinY), std::abs(extent.MaxY)});
    return !(farthest <= kFarthestM * units_per_m);
}

/// Reads a file's polygons one by one into a single shape.
class PolygonReading {
  public:
    explicit PolygonReading(const std::string& path) : path_(path) {}

    Result<std::unique_ptr<OGRGeometry>> united() {
        const GdalMessages messages;
        const auto file = TRY(opened_vector_file(path_, "the region"));
        for (OGRLayer* layer : file->GetLayers()) TRY(add(*file, *layer));
        if (!messages.first_failure().empty())
            return fail(ErrorCode::bad_input, "reading " + path_ + messages.after_colon());
        if (polygons_.getNumGeometries() == 0)
            return fail(ErrorCode::bad_input, path_ + " has no polygon");
        if (has_more_crossings(polygons_, kMaxCrossings)) return fail(tangled());
        std::unique_ptr<OGRGeometry> all(polygons_.UnionCascaded());
        if (!all || all->IsEmpty())
            return fail(ErrorCode::bad_input, "the polygons of " + path_ + " have no area");
        return all;
    }

  private:
    Error tangled() const {
        return {ErrorCode::bad_input,
                "the edges of the polygons of " + path_ + " cross too often to be repaired",
                "repair them in a geographic information system first"};
    }

    Error unconvertible() const {
        return {ErrorCode::bad_input,
                "feature " + std::to_string(features_) + " of " + path_ +
                    " cannot be converted to latitude and longitude",
                "look whether its coordinate system is the right one"};
    }

    /// Divides edges into pieces of at most `longest`, if it is not 0, and counts the resulting
    /// ones.
    Result<void> cut_edges(OGRGeometry& shape, double longest) {
        for (const OGRPolygon* polygon : *shape.toMultiPolygon()) {
            for (const OGRLinearRing* ring : *polygon) {
                vertices_ += ring->getNumPoints();
                if (longest > 0.0) vertices_ += ring->get_Length() / longest;
            }
        }
        if (!(vertices_ <= kMaxVertices)) {
            return fail(ErrorCode::bad_input,
                        "the polygons of " + path_ +
                            " have more than ten million corners at one per kilometer",
                        "look whether their coordinate system is the right one, or simplify them");
        }
        if (longest > 0.0) shape.segmentize(longest);
        return {};
    }

    Result<void> add(GDALDataset& file, OGRLayer& layer) {
        Transformation to_degrees;
        double longest_edge = 0.0;
        for (const auto& feature : layer) {
            ++features_;
            std::unique_ptr<OGRGeometry> shape(feature->StealGeometry());
            if (!shape || OGR_GT_Flatten(shape->getGeometryType()) == wkbPoint) continue;
            if (!to_degrees) {
                to_degrees = TRY(to_longitude_latitude(file, layer, path_));
                // Of a projection, in its unit.
                const OGRSpatialReference* system = layer.GetSpatialRef();
                if (system != nullptr && system->IsProjected() != 0)
                    longest_edge = kLongestEdgeM / system->GetLinearUnits();
            }
            shape.reset(OGRGeometryFactory::forceToMultiPolygon(shape.release()));
            if (OGR_GT_Flatten(shape->getGeometryType()) != wkbMultiPolygon || shape->IsEmpty())
                continue;
            TRY(take(std::move(shape), *to_degrees, longest_edge));
        }
        return {};
    }

    Result<void> take(std::unique_ptr<OGRGeometry> shape, OGRCoordinateTransformation& to_degrees,
                      double longest_edge) {
        if (longest_edge > 0.0 && is_off_the_earth(*shape, longest_edge / kLongestEdgeM))
            return fail(unconvertible());
        CPLStringList options;
        TRY(cut_edges(*shape, longest_edge));
        if (longest_edge > 0.0) options.SetNameValue("WRAPDATELINE", "YES");
        std::unique_ptr<OGRGeometry> converted(
            OGRGeometryFactory::transformWithOptions(shape.get(), &to_degrees, options.List()));
        if (converted && converted->IsValid() == 0) {
            if (is_areal(*converted) && has_more_crossings(*converted, kMaxCrossings))
                return fail(tangled());
            converted.reset(converted->MakeValid());
        }
        if (!converted) return fail(unconvertible());
        converted.reset(OGRGeometryFactory::forceToMultiPolygon(converted.release()));
        if (OGR_GT_Flatten(converted->getGeometryType()) != wkbMultiPolygon) return {};
        for (const OGRPolygon* polygon : converted->toMultiPolygon())
            polygons_.addGeometry(polygon);
        return {};
    }

    const std::string& path_;
    OGRMultiPolygon polygons_;
    std::int64_t features_ = 0;
    double vertices_ = 0.0;
};

}  // namespace

struct RegionPolygons::Shapes {
    std::unique_ptr<OGRGeometry> region;
    std::unique_ptr<std::remove_pointer_t<OGRPreparedGeometryH>, PreparedDeleter> prepared;
    OGREnvelope envelope;

    /// Calls `is_so` with the box as a polygon, at each turn of the circle that can matter; true as
    /// soon as one call returns true.
    template <class IsSo>
    bool at_some_turn(const LatLonBox& box, const IsSo& is_so) const {
        const double south = std::max(degrees(box.south), -90.0);
        const double north = std::min(degrees(box.north), 90.0);
        const double west = normalised_lon_deg(degrees(box.west));
        for (const double turn : {-360.0, 0.0, 360.0}) {
            OGREnvelope corners;
            corners.MinX = west + turn;
            corners.MaxX = corners.MinX + degrees(box.width);
            corners.MinY = south;
            corners.MaxY = north;
            if (envelope.Intersects(corners) == 0) continue;
            auto* ring = new OGRLinearRing;
            ring->addPoint(corners.MinX, south);
            ring->addPoint(corners.MaxX, south);
            ring->addPoint(corners.MaxX, north);
            ring->addPoint(corners.MinX, north);
            ring->closeRings();
            OGRPolygon polygon;
            polygon.addRingDirectly(ring);
            if (is_so(polygon)) return true;
        }
        return false;
    }
};

RegionPolygons::RegionPolygons(std::unique_ptr<Shapes> shapes) : shapes_(std::move(shapes)) {
    const OGREnvelope& envelope = shapes_->envelope;
    bounds_ = {units(envelope.MinY), units(envelope.MaxY), units(envelope.MinX),
               std::min(units(envelope.MaxX - envelope.MinX), kUnitsPerCircle)};
}
RegionPolygons::~RegionPolygons() = default;
RegionPolygons::RegionPolygons(RegionPolygons&&) noexcept = default;
RegionPolygons& RegionPolygons::operator=(RegionPolygons&&) noexcept = default;

Result<RegionPolygons> RegionPolygons::read(const std::string& path) {
    auto region = TRY(PolygonReading(path).united());
    auto shapes = std::make_unique<Shapes>();
    shapes->region = std::move(region);
    shapes->region->getEnvelope(&shapes->envelope);
    shapes->prepared.reset(OGRCreatePreparedGeometry(OGRGeometry::ToHandle(shapes->region.get())));
    if (!shapes->prepared)
        return fail(ErrorCode::internal, "GDAL was built without GEOS, which --region needs");
    const OGREnvelope& envelope = shapes->envelope;
    if (envelope.MinY < -90.0001 || envelope.MaxY > 90.0001 || envelope.MinX < -360.0001 ||
        envelope.MaxX > 540.0001) {
        return fail(ErrorCode::bad_input, path + " has coordinates that are not valid degrees",
                    "check its coordinate system");
    }
    return RegionPolygons(std::move(shapes));
}

bool RegionPolygons::holds(LatLonE7 position) const {
    const LatLon place = to_degrees(position);
    for (const double turn : {-360.0, 0.0, 360.0}) {
        OGRPoint point(place.lon_deg + turn, place.lat_deg);
        if (OGRPreparedGeometryIntersects(shapes_->prepared.get(), OGRGeometry::ToHandle(&point)))
            return true;
    }
    return false;
}

bool RegionPolygons::touches(const LatLonBox& box) const {
    return shapes_->at_some_turn(box, [this](OGRPolygon& polygon) {
        return OGRPreparedGeometryIntersects(shapes_->prepared.get(),
                                             OGRGeometry::ToHandle(&polygon)) != 0;
    });
}

bool RegionPolygons::contains(const LatLonBox& box) const {
    return shapes_->at_some_turn(box, [this](OGRPolygon& polygon) {
        return OGRPreparedGeometryContains(shapes_->prepared.get(),
                                           OGRGeometry::ToHandle(&polygon)) != 0;
    });
}

}  // namespace thirstline
