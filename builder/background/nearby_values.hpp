// What is known nearby: drivers and ratios at scattered places, interpolated to a point that lacks
// them, by inverse squared distance over the nearest eight places within reach.
//
// Thread safety: does not change once made; any number of threads may ask.
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
    /// `reach_km`: farther places say nothing.
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
