#include "schema/tile_code/plane_details.hpp"

namespace thirstline {

namespace {

struct Neighbours {
    Plane west, north, north_west, north_east;
};

/// At the south and west edges all four neighbours are the only one there is: with four equal
/// neighbours every predictor gives the same value. The corner is its own neighbour.
void find_neighbours(const Plane& plane, std::size_t width, Neighbours& near) {
    near.west[0] = near.north[0] = near.north_west[0] = near.north_east[0] = plane[0];
    for (std::size_t at = 1; at < kSlots; ++at) near.west[at] = plane[at - 1];
    for (std::size_t at = 1; at < kStride; ++at)
        near.north[at] = near.north_west[at] = near.north_east[at] = plane[at - 1];
    for (std::size_t at = kStride; at < kSlots; ++at) {
        near.north[at] = plane[at - kStride];
        near.north_west[at] = plane[at - kStride - (at > kStride ? 1 : 0)];
        near.north_east[at] = plane[at - kStride + 1];
    }
    for (std::size_t first = kStride; first < kSlots; first += kStride) {
        const std::uint16_t north = near.north[first];
        near.west[first] = near.north_west[first] = near.north_east[first] = north;
        const std::size_t last = first + width - 1;
        near.north_east[last] = near.north[last];
    }
}

template <std::uint32_t predictor>
std::uint16_t detail(const Plane& plane, const Neighbours& near, std::size_t at) {
    return static_cast<std::uint16_t>(
        plane[at] - thirstline_predicted(predictor, near.west[at], near.north[at],
                                         near.north_west[at], near.north_east[at]));
}

template <std::uint32_t predictor>
void find_details_of(const Plane& plane, const Neighbours& near, Plane& details) {
    for (std::size_t at = 0; at < kSlots; ++at) details[at] = detail<predictor>(plane, near, at);
}

}  // namespace

void find_details_by(std::uint32_t predictor, const Plane& plane, int width, Plane& details) {
    Neighbours near;
    find_neighbours(plane, static_cast<std::size_t>(width), near);
    switch (predictor) {
        case 0:
            return find_details_of<0>(plane, near, details);
        case 1:
            return find_details_of<1>(plane, near, details);
        case 2:
            return find_details_of<2>(plane, near, details);
        case 3:
            return find_details_of<3>(plane, near, details);
        default:
            return find_details_of<4>(plane, near, details);
    }
}

void find_details(const Plane& plane, int width, PlaneDetails& details) {
    Neighbours near;
    find_neighbours(plane, static_cast<std::size_t>(width), near);
    // In one loop, since the predictors share intermediate values.
    for (std::size_t at = 0; at < kSlots; ++at) {
        details[0][at] = detail<0>(plane, near, at);
        details[1][at] = detail<1>(plane, near, at);
        details[2][at] = detail<2>(plane, near, at);
        details[3][at] = detail<3>(plane, near, at);
        details[4][at] = detail<4>(plane, near, at);
    }
}

}  // namespace thirstline
