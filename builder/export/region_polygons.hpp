// The polygons of a file, in any format and coordinate system that GDAL reads, as one region on the
// Earth.
//
// Edges that are straight in the file's coordinate system are divided into pieces of at most a
// kilometre before they are converted to latitude and longitude, where these pieces are taken as
// straight. The region may cross the antimeridian.
#pragma once

#include <memory>
#include <string>

#include "builder/export/lat_lon_box.hpp"
#include "schema/base/result.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

class RegionPolygons {
  public:
    /// The union of all polygons of all layers of the file. Errors: io if the file cannot be
    /// opened; bad_input if it has no polygon, no coordinate system, or shapes that cannot be
    /// converted to latitude and longitude.
    [[nodiscard]] static Result<RegionPolygons> read(const std::string& path);
    ~RegionPolygons();
    RegionPolygons(RegionPolygons&&) noexcept;
    RegionPolygons& operator=(RegionPolygons&&) noexcept;

    /// The smallest box around the region.
    [[nodiscard]] const LatLonBox& bounds() const { return bounds_; }
    [[nodiscard]] bool holds(LatLonE7 position) const;
    /// Whether the box and the region share a place.
    [[nodiscard]] bool touches(const LatLonBox& box) const;
    [[nodiscard]] bool contains(const LatLonBox& box) const;

  private:
    struct Shapes;
    explicit RegionPolygons(std::unique_ptr<Shapes> shapes);

    std::unique_ptr<Shapes> shapes_;
    LatLonBox bounds_;
};

}  // namespace thirstline
