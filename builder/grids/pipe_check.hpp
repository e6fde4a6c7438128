// Rejects inputs of a build that could block it and can be read only once.
#pragma once

#include <string>

#include "schema/base/result.hpp"

namespace thirstline {

/// Errors: bad_input for a pipe, a socket or a device; `where` ("merrow.toml:12: ") begins the
/// message. A path that does not exist is accepted.
[[nodiscard]] Result<void> refuse_pipe(const std::string& path, const std::string& where);

}  // namespace thirstline
