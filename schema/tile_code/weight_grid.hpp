// Finds the weights of a plane's references that leave small residuals in codec 1, without the
// costs of classes: by least squares, and by sums of distances for nine pairs of weights at a time.
// See TILE_CODE.md.
//
// Uses integers, except for the fit: a few doubles that are the same on every machine.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "schema/tile_code/plane_details.hpp"

namespace thirstline {

/// Of the two references, in quarters; 0 for a missing reference.
using Weights = std::array<std::int32_t, 2>;

/// The details of a block's plane and of its references, under one predictor.
struct FamilyDetails {
    const Plane &own, &first, &second;
};

/// Sums of products of the details of a plane (y) and its two references (a, b).
struct Moments {
    std::int64_t aa = 0, ab = 0, bb = 0, ay = 0, by = 0;

    /// Least-squares weights.
    [[nodiscard]] Weights fitted_weights(std::uint32_t reference_count) const;
};

/// Adds a block's products for slots where `counts` is 0xFFFF.
void add_moments(const FamilyDetails& details, const Plane& counts, Moments& moments);

/// Side of the grid of weights around a centre: one less, equal, one more.
inline constexpr std::size_t kGridSide = 3;

/// Sums of folded residuals, by the weights of the first and the second reference.
using GridDistances = std::array<std::array<std::uint64_t, kGridSide>, kGridSide>;

/// Number of low bits of details to ignore so that sums do not overflow: 0 except for planes with
/// outliers.
[[nodiscard]] int bits_to_spare(const FamilyDetails& details);

/// Adds a block's folded residuals for slots where `counts` is 0xFFFF, for all weights around
/// `centre`.
void add_distances(const FamilyDetails& details, const Plane& counts, const Weights& centre,
                   int spared_bits, GridDistances& distances);

}  // namespace thirstline
