// Reads whole files, and writes small files completely or not at all.
#pragma once

#include <cstddef>
#include <functional>
#include <limits>
#include <string>
#include <string_view>

#include "schema/base/result.hpp"

namespace thirstline {

/// Passes a file's content to `take` in pieces of at most a megabyte until it ends or an error is
/// returned. Errors: io, in which the file is called `name`; those of `take`.
[[nodiscard]] Result<void> for_each_piece(
    const std::string& path, const std::string& name,
    const std::function<Result<void>(std::string_view)>& take);

/// Errors: io, in which the file is called `name` ("the recipe merrow.toml"); bad_input for a file
/// of more than `most_bytes`.
[[nodiscard]] Result<std::string> text_of_file(
    const std::string& path, const std::string& name,
    std::size_t most_bytes = std::numeric_limits<std::size_t>::max());

/// Writes a temporary file in the same folder, which then replaces the target. Errors: io.
[[nodiscard]] Result<void> write_whole_file(const std::string& path, std::string_view text);

}  // namespace thirstline
