// Interpolates drivers and ratios known at scattered places to a point that lacks them, by inverse
// squared distance over the nearest eight places within reach.
//
// Thread safety: immutable after construction; any number of threads may use it.
#pragma once

#include <memory>
#include <vector>

#include "schema/base/calendar.hpp"
#include "schema/geo/lat_lon.hpp"

namespace thirstline {

struct ValuesAtPlace {
    LatLon position;
    Monthly<double> values{};  ///< all known
};

class NearbyValues {
  public:
    /// `reach_km`: places farther away are not used.
    NearbyValues(std::vector<ValuesAtPlace> places, double reach_km);
    ~NearbyValues();
    NearbyValues(NearbyValues&&) noexcept;
    NearbyValues& operator=(NearbyValues&&) noexcept;

    /// NaN in every month if no place is within reach.
    [[nodiscard]] Monthly<double> at(LatLon position) const;

  private:
    struct Index;
    std::unique_ptr<Index> index_;
};

}  // namespace thirstline
