// Functions that take untrusted bytes, one for each parser: for libFuzzer
// (THIRSTLINE_BUILD_FUZZERS), and for the test that replays the corpora. A function returns for any
// bytes; it aborts if a guarantee of schema/SECURITY.md is violated.
#pragma once

#include <cstdint>
#include <span>

namespace thirstline::fuzz {

using Bytes = std::span<const std::uint8_t>;

/// The first byte selects an SQL script on a valid file, or changes of its rows. Checksums are then
/// corrected unless the second byte is odd.
void database(Bytes bytes);
/// The first byte selects codec and layout.
void tile_code(Bytes bytes);
void csv(Bytes bytes);
/// A table of sites, queried in a small file.
void batch(Bytes bytes);
void coordinates(Bytes bytes);
/// A two-letter country code, then a postal code.
void postal_codes(Bytes bytes);
void zone_file(Bytes bytes);

// For the builder.
void recipe(Bytes bytes);
/// The first byte selects keys of a recipe. Then a table of stations, byte 30, and a table of their
/// positions.
void station_table(Bytes bytes);
/// The first byte selects separator, header and widths.
void table_rows(Bytes bytes);
/// A zip or tar archive.
void archive(Bytes bytes);
/// Of downloads.
void lock_file(Bytes bytes);
/// GeoJSON.
void region(Bytes bytes);
void evaluation(Bytes bytes);

}  // namespace thirstline::fuzz
