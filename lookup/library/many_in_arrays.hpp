// Answers many positions from one file with several threads, into the caller's arrays: chunk by
// chunk, and in each chunk tile by tile.
//
// Thread safety: the databases belong to this call until it returns.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "schema/base/result.hpp"
#include "schema/database/database.hpp"
#include "thirstline/thirstline.h"

namespace thirstline {

/// As in thirstline_sites_in_arrays.
struct ArrayQuestions {
    const double* lat_deg = nullptr;
    const double* lon_deg = nullptr;
    const std::int32_t* elevation_m = nullptr;
    std::size_t count = 0;
};

/// The chunks in which so many sites are answered: more threads than this are of no use.
[[nodiscard]] std::size_t chunks_of(std::size_t count);

/// Each database has a thread of its own (a single one, the calling thread). Memory is bounded by a
/// chunk per thread and the shared tiles. Errors: those of reading the file; if several, that of
/// the first chunk.
[[nodiscard]] Result<void> fill_arrays(const std::vector<Database*>& databases,
                                       const ArrayQuestions& questions,
                                       const thirstline_site_arrays& arrays);

}  // namespace thirstline
