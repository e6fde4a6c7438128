// The files of a recipe's data folder: what `{data}` in its paths names, and the addresses from
// which they are downloaded. Pure.
#pragma once

#include <string>
#include <vector>

#include "builder/recipe/recipe.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

struct DataFile {
    std::string name;   ///< in the data folder, without a folder of its own
    std::string url;    ///< http or https; empty: it is to be put there by hand
    std::string where;  ///< "merrow.toml:34", of the first source that needs it
};

/// In the recipe's order, each once. Only sources with "{data}" in their path have such files; the
/// `url` of others is information. Months are filled in.
/// Errors (bad_input, with the recipe's line): an address that is not http or https, holds a
/// password or does not end in a name; a name that is not a plain file name; one name for two
/// addresses; a source whose addresses give none of the files that its paths name.
[[nodiscard]] Result<std::vector<DataFile>> data_files(const Recipe& recipe);

/// Paths that GDAL would read from the network, as "merrow.toml:34". Empty if there are none.
[[nodiscard]] std::vector<std::string> network_paths(const Recipe& recipe);

}  // namespace thirstline
