// The lattice of the worked example in schema/FORMAT.md, also used in schema/IMAGE.md.
#pragma once

#include <algorithm>
#include <array>
#include <cstdio>
#include <string>
#include <vector>

#include "schema/database/database.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline::test {

/// Two by two points a quarter of a degree apart from 44° N 123.5° W; the north-east one is
/// missing.
[[nodiscard]] World format_example();

/// The same as a database, with postal codes; throws if it cannot be written.
void write_format_example(const std::string& path, const std::vector<PostalPlace>& places);

/// Bytes in the documents' notation.
template <class Bytes>
std::string hex_dump(const Bytes& bytes, std::size_t begin, std::size_t end) {
    std::string dump;
    std::array<char, 24> text{};
    for (std::size_t at = begin; at < end; at += 16) {
        std::snprintf(text.data(), text.size(), "%04zx", at);
        dump += text.data();
        for (std::size_t i = at; i < std::min(at + 16, end); ++i) {
            std::snprintf(text.data(), text.size(), " %02x",
                          static_cast<unsigned>(static_cast<std::uint8_t>(bytes[i])));
            dump += text.data();
        }
        dump += "\n";
    }
    return dump;
}

}  // namespace thirstline::test
