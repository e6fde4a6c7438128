// The bytes of a tile in both codecs: decoding as a whole and block by block must give the same
// result.
#include <algorithm>
#include <vector>

#include "schema/tile_code/tile_codec.hpp"
#include "tests/fuzz/fuzz_targets.hpp"
#include "tests/fuzz/memory_file.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline::fuzz {

void tile_code(Bytes bytes) {
    if (bytes.empty()) return;
    const int codec = bytes[0] & 1;
    const int edge = (bytes[0] & 2) != 0 ? 16 : 8;
    const std::vector<LayerId> few{LayerId::eto, LayerId::rain};
    const TileLayout layout =
        test::layout_of(edge, (bytes[0] & 4) != 0 ? few : std::vector<LayerId>{});
    // Allocated in its exact size, so that a sanitizer detects an access beyond it.
    const std::vector<std::uint8_t> data(bytes.begin() + 1, bytes.end());
    const auto tile = decode_tile(codec, layout, data);
    const int along = readable_blocks_along(edge);
    for (int block = 0; block < along * along; ++block) {
        const auto decoded = decode_block(codec, layout, data, block);
        if (tile) require(decoded.has_value());
    }
    if (!tile) return;
    const auto encoded = encode_tile(codec, layout, *tile);
    if (!encoded) return;  // a value outside its layer's range
    const auto again = decode_tile(codec, layout, *encoded);
    require(again.has_value() && again->present == tile->present);
}

}  // namespace thirstline::fuzz
