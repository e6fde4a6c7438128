// How often the rings of polygons cross: what it costs to mend them and to unite them grows with
// that, and it can grow with the square of their edges.
#pragma once

#include <cstddef>

class OGRGeometry;

namespace thirstline {

/// Do edges of the polygons cross one another more than `most` times? Edges that only touch do not
/// cross. `polygons` is a polygon or a multipolygon. True, too, where so many edges lie over one
/// another's extents that it would take too long to say.
[[nodiscard]] bool has_more_crossings(const OGRGeometry& polygons, std::size_t most);

}  // namespace thirstline
