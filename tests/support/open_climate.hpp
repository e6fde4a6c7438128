// Parts of recipes for real open data, which tests find in the folder named by
// THIRSTLINE_OPEN_DATA.
#pragma once

#include <string>

namespace thirstline::test {

/// Empty if the folder or one of these parts is not available: the test should then skip.
[[nodiscard]] std::string open_data_folder(std::initializer_list<const char*> parts);

inline constexpr const char* kNoOpenData =
    "no open data: name their folder in THIRSTLINE_OPEN_DATA";

/// [elevation] of ETOPO5, and a [[grid]] for each of the six variables of CRU CL 1.0, 1961–1990
/// (New, Hulme and Jones 1999, J. Climate 12, 829).
[[nodiscard]] std::string open_grids(const std::string& data);

/// [[stations]] with world normals of 1991–2020 (NCEI accession 0253808): Tmax, Tmin and rain.
[[nodiscard]] std::string open_stations(const std::string& data);

}  // namespace thirstline::test
