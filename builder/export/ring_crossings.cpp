#include "builder/export/ring_crossings.hpp"

#include <cpl_quad_tree.h>
#include <ogr_geometry.h>

#include <algorithm>
#include <memory>
#include <vector>

namespace thirstline {

namespace {

// Maximum pairs of edges compared, per edge: two adjacent ones, and some more.
constexpr std::size_t kPairsOfEdge = 200;
constexpr std::size_t kPairsOfAny = 10'000'000;

struct Edge {
    double x[2];
    double y[2];
};

void add_edges(const OGRLinearRing& ring, std::vector<Edge>& edges) {
    for (int i = 0; i + 1 < ring.getNumPoints(); ++i)
        edges.push_back({{ring.getX(i), ring.getX(i + 1)}, {ring.getY(i), ring.getY(i + 1)}});
}

void add_edges(const OGRPolygon& polygon, std::vector<Edge>& edges) {
    for (const OGRLinearRing* ring : polygon) add_edges(*ring, edges);
}

CPLRectObj extent_of(const Edge& edge) {
    const auto [west, east] = std::minmax(edge.x[0], edge.x[1]);
    const auto [south, north] = std::minmax(edge.y[0], edge.y[1]);
    return {west, south, east, north};
}

/// Twice the signed area of a triangle: its sign shows on which side of an edge a point is.
double side(const Edge& edge, double x, double y) {
    return (edge.x[1] - edge.x[0]) * (y - edge.y[0]) - (edge.y[1] - edge.y[0]) * (x - edge.x[0]);
}

bool do_cross(const Edge& a, const Edge& b) {
    return side(a, b.x[0], b.y[0]) * side(a, b.x[1], b.y[1]) < 0.0 &&
           side(b, a.x[0], a.y[0]) * side(b, a.x[1], a.y[1]) < 0.0;
}

void extent_of_feature(const void* feature, CPLRectObj* extent) {
    *extent = extent_of(*static_cast<const Edge*>(feature));
}

}  // namespace

bool has_more_crossings(const OGRGeometry& polygons, std::size_t most) {
    std::vector<Edge> edges;
    if (OGR_GT_Flatten(polygons.getGeometryType()) == wkbPolygon) {
        add_edges(*polygons.toPolygon(), edges);
    } else {
        for (const OGRPolygon* polygon : *polygons.toMultiPolygon()) add_edges(*polygon, edges);
    }
    OGREnvelope envelope;
    polygons.getEnvelope(&envelope);
    const CPLRectObj extent{envelope.MinX, envelope.MinY, envelope.MaxX, envelope.MaxY};
    const std::unique_ptr<CPLQuadTree, void (*)(CPLQuadTree*)> tree(
        CPLQuadTreeCreate(&extent, extent_of_feature), CPLQuadTreeDestroy);
    const std::size_t most_pairs = kPairsOfAny + kPairsOfEdge * edges.size();
    std::size_t pairs = 0;
    std::size_t crossings = 0;
    // Each edge is compared with those before it, so that every pair is compared once.
    for (Edge& edge : edges) {
        const CPLRectObj around = extent_of(edge);
        int count = 0;
        const std::unique_ptr<void*, void (*)(void*)> near(
            CPLQuadTreeSearch(tree.get(), &around, &count), VSIFree);
        for (int i = 0; i < count; ++i)
            crossings += do_cross(edge, *static_cast<const Edge*>(near.get()[i])) ? 1 : 0;
        pairs += static_cast<std::size_t>(count);
        if (crossings > most || pairs > most_pairs) return true;
        CPLQuadTreeInsert(tree.get(), &edge);
    }
    return false;
}

}  // namespace thirstline
