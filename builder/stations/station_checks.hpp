// Checks of stations that need more than a single row: values against each other, against the
// terrain and against the other stations.
//
// The rules, in the order of their application:
//   not a mean daily maximum or minimum  a source's stations of one country, four or more
//       with a known background: the median over them of (range − background range), mean of the
//       year, is more than 6 °C and six robust standard deviations from the median of all such
//       groups (from 0 if there are fewer than five). Five countries' tables of the world's
//       1991–2020 normals most likely contain the extremes of the month. Tmax and Tmin are
//       rejected, the mean is kept.
//   minimum temperature not below the maximum      the month's Tmax and Tmin are rejected; if
//       three months or more break the rule, the whole year's, as in the next two
//   implausible daily range              under 0.5 °C or over 30 °C: the same
//   maximum and minimum contradict the mean        the mean is not between them, or more than 4 °C
//       from their middle: all three are rejected
//   humidity over saturation                       above 0 °C only (frozen months really
//       exceed it: the mean of a convex function): vapour pressure over 1.05 times the mean
//       saturation over Tmax and Tmin (FAO-56 eq. 12)
//   elevation is not known                         the terrain model's is used
//   elevation far from the terrain model           500 m or more; nothing is rejected, because in
//       mountains the model is wrong as often as the station
// The limits are our own, chosen by their results for the world's normals.
#pragma once

#include <span>

#include "builder/stations/station_set.hpp"

namespace thirstline {

/// Both by station, NaN if unknown: elevation of the terrain model in m, and the background's Tmax
/// − Tmin in °C. An empty span means that none is known.
void check_stations(StationSet& set, std::span<const double> terrain_m,
                    std::span<const Monthly<double>> background_range_c);

/// Replaces a station's own elevation by another, and reports it.
void replace_station_elevation(StationSet& set, std::size_t station, double elevation_m,
                               const std::string& rule);

}  // namespace thirstline
