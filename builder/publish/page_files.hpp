// The files of the page itself, made from its templates and the names of data files.
#pragma once

#include <map>
#include <string>
#include <string_view>

#include "builder/publish/page_assets.hpp"
#include "builder/publish/site_folder.hpp"
#include "schema/base/result.hpp"

namespace thirstline {

/// A template with each "{{name}}" replaced by its value; values are inserted unchanged, and
/// "{{name}}" within a value is kept. Errors (internal): a name without a value.
[[nodiscard]] Result<std::string> filled_template(std::string_view text,
                                                  const std::map<std::string, std::string>& values);

/// Writes index.html, the script, both modules and the service worker, which has their checksums.
/// `title` is that of the data. Errors: io; internal if a template has an unknown name.
[[nodiscard]] Result<void> write_page_files(SiteFolder& folder, const PageAssets& assets,
                                            std::string_view title, const PublishedFile& baseline);

}  // namespace thirstline
