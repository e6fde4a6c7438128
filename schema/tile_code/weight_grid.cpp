#include "schema/tile_code/weight_grid.hpp"

#include <algorithm>
#include <bit>
#include <cstring>

namespace thirstline {

namespace {

constexpr std::int32_t kGreatestWeight = 20;  // in quarters: larger weights never helped

/// One vector register: the compiler does not keep nine sums in registers by itself.
constexpr std::size_t kLanes = 8;
using Lanes [[gnu::vector_size(kLanes * sizeof(std::uint16_t))]] = std::uint16_t;
using SignedLanes [[gnu::vector_size(kLanes * sizeof(std::int16_t))]] = std::int16_t;

std::int32_t quarters_of(double dividend, double divisor) {
    // Doubles of integers below 2^53 and one division: the same on every machine.
    const double weight = divisor == 0 ? 0 : 4 * dividend / divisor;
    const double within = std::clamp<double>(weight, -kGreatestWeight, kGreatestWeight);
    // Not lround, which differs for the double just below a half, and so would the bytes of files.
    // NOLINTNEXTLINE(bugprone-incorrect-roundings)
    return static_cast<std::int32_t>(within + kGreatestWeight + 0.5) - kGreatestWeight;
}

/// Small enough that the sum of a block's products fits 32 bits.
std::int16_t small(std::uint16_t number) {
    constexpr std::int16_t kGreatest = 4095;
    return std::min<std::int16_t>(
        std::max<std::int16_t>(static_cast<std::int16_t>(number), -kGreatest), kGreatest);
}

Lanes lanes_at(const Plane& plane, std::size_t slot) {
    Lanes lanes;
    std::memcpy(&lanes, plane.data() + slot, sizeof lanes);
    return lanes;
}

Lanes all_lanes(std::uint32_t number) {
    return Lanes{} + static_cast<std::uint16_t>(number);
}

std::uint64_t sum_of(const Lanes& lanes) {
    std::uint64_t sum = 0;
    for (std::size_t lane = 0; lane < kLanes; ++lane) sum += lanes[lane];
    return sum;
}

/// Signed numbers modulo 2^16, divided by 2^bits and rounded down.
Lanes shifted(const Lanes& numbers, int bits) {
    const auto signed_numbers = __builtin_convertvector(numbers, SignedLanes);
    return __builtin_convertvector(signed_numbers >> static_cast<std::int16_t>(bits), Lanes);
}

Lanes folded_lanes(const Lanes& differences) {
    return (differences + differences) ^ shifted(differences, 15);
}

}  // namespace

Weights Moments::fitted_weights(std::uint32_t reference_count) const {
    const auto aa_d = static_cast<double>(aa + 2), ab_d = static_cast<double>(ab),
               bb_d = static_cast<double>(bb + 2), ay_d = static_cast<double>(ay),
               by_d = static_cast<double>(by);
    if (reference_count == 1) return {quarters_of(ay_d, aa_d), 0};
    const double determinant = aa_d * bb_d - ab_d * ab_d;
    return {quarters_of(ay_d * bb_d - by_d * ab_d, determinant),
            quarters_of(by_d * aa_d - ay_d * ab_d, determinant)};
}

void add_moments(const FamilyDetails& details, const Plane& counts, Moments& moments) {
    std::int32_t aa = 0, ab = 0, bb = 0, ay = 0, by = 0;
    for (std::size_t slot = 0; slot < kSlots; ++slot) {
        const std::int16_t y = small(details.own[slot] & counts[slot]);
        const std::int16_t a = small(details.first[slot] & counts[slot]);
        const std::int16_t b = small(details.second[slot] & counts[slot]);
        aa += a * a;
        ab += a * b;
        bb += b * b;
        ay += a * y;
        by += b * y;
    }
    moments.aa += aa;
    moments.ab += ab;
    moments.bb += bb;
    moments.ay += ay;
    moments.by += by;
}

int bits_to_spare(const FamilyDetails& details) {
    // A lane sums one residual from each of eight rows, so they may have 13 bits. They may be
    // several times as large as the details, and one bit is the sign.
    constexpr int kBits = 11;
    std::uint16_t any = 0;
    for (std::size_t slot = 0; slot < kSlots; ++slot) {
        any =
            static_cast<std::uint16_t>(any | folded(details.own[slot]) |
                                       folded(details.first[slot]) | folded(details.second[slot]));
    }
    return std::max(static_cast<int>(std::bit_width(any)) - kBits, 0);
}

void add_distances(const FamilyDetails& details, const Plane& counts, const Weights& centre,
                   int spared_bits, GridDistances& distances) {
    std::array<std::array<Lanes, kGridSide>, kGridSide> sums{};
    const Lanes first_weight = all_lanes(static_cast<std::uint32_t>(centre[0] - 1));
    const Lanes second_weight = all_lanes(static_cast<std::uint32_t>(centre[1] - 1));
    for (std::size_t slot = 0; slot < kSlots; slot += kLanes) {
        const Lanes counted = lanes_at(counts, slot);
        const auto lanes_of = [&](const Plane& plane) {
            return shifted(lanes_at(plane, slot) & counted, spared_bits);
        };
        const Lanes y = lanes_of(details.own), a = lanes_of(details.first),
                    b = lanes_of(details.second);
        Lanes row = a * first_weight + b * second_weight + 2;
        for (auto& sums_of_row : sums) {
            Lanes quarters = row;
            for (Lanes& sum : sums_of_row) {
                sum += folded_lanes(y - shifted(quarters, 2));
                quarters += b;
            }
            row += a;
        }
    }
    for (std::size_t i = 0; i < kGridSide; ++i) {
        for (std::size_t j = 0; j < kGridSide; ++j)
            distances[i][j] += sum_of(sums[i][j]) << spared_bits;
    }
}

}  // namespace thirstline
