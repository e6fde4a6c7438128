// The database of the invented valley, for tests that use nothing of the project but its library.
#pragma once

#include <string>

/// A file with stations; the same one at every call.
[[nodiscard]] std::string merrow_file_path();
