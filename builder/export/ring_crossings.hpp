// Counts crossings in the rings of polygons: the cost of repairing and uniting them grows with
// their number, which can grow with the square of the number of edges.
#pragma once

#include <cstddef>

class OGRGeometry;

namespace thirstline {

/// Whether edges of the polygons cross one another more than `most` times. Edges that only touch do
/// not cross. `polygons` is a polygon or a multipolygon. Also true if the extents of so many edges
/// overlap that counting would take too long.
[[nodiscard]] bool has_more_crossings(const OGRGeometry& polygons, std::size_t most);

}  // namespace thirstline
