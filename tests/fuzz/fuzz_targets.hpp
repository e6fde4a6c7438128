// Functions that take untrusted bytes, one for each parser: for libFuzzer
// (THIRSTLINE_BUILD_FUZZERS), and for the test that replays the corpora. A function returns for any
// bytes; it aborts if a promise of schema/SECURITY.md is broken.
#pragma once

#include <cstdint>
#include <span>

namespace thirstline::fuzz {

using Bytes = std::span<const std::uint8_t>;

/// The first byte chooses: an SQL script over a sound file, or changes of its rows. Checksums are
/// made to fit afterwards unless the second byte is odd.
void database(Bytes bytes);
/// The first byte chooses codec and layout.
void tile_code(Bytes bytes);
void csv(Bytes bytes);
/// A table of sites, asked of a small file.
void batch(Bytes bytes);
void coordinates(Bytes bytes);
/// Two letters of a country, then a code.
void postal_codes(Bytes bytes);
void zone_file(Bytes bytes);

// Of the builder.
void recipe(Bytes bytes);
/// A table of stations.
void station_table(Bytes bytes);
/// GeoJSON.
void region(Bytes bytes);
void evaluation(Bytes bytes);

}  // namespace thirstline::fuzz
