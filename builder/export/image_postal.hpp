// The postal index of an embedded image: a tree of blocks of 256 bytes, leaves first, the root
// last. See section 6 of schema/IMAGE.md.
#pragma once

#include <cstdint>
#include <vector>

#include "builder/export/image_bytes.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

struct ImagePostalIndex {
    std::vector<ImageBytes> blocks;  ///< contents, at most kImageBlockContent bytes each
    std::uint32_t codes = 0;
    std::uint32_t leaves = 0;
    std::uint8_t levels = 0;          ///< number of levels above the leaves
    std::uint8_t position_bytes = 0;  ///< 2 to 4; 0 without codes
    std::uint32_t position_unit_e7 = 0;
};

/// The smallest index that this writer can make for them. They must be sorted by code, then
/// country. Errors (bad_input): a code longer than 15 bytes.
[[nodiscard]] Result<ImagePostalIndex> image_postal_index(const std::vector<PostalPlace>& places);

}  // namespace thirstline
