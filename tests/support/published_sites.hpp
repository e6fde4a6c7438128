// Publishes in the test's own process, and reads the published files.
#pragma once

#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "builder/publish/publish.hpp"
#include "schema/geo/lat_lon.hpp"
#include "tests/support/image_reading.hpp"

namespace thirstline::test {

/// Small files in place of the page's own.
[[nodiscard]] const PageAssets& small_page();

/// publish of a file.
[[nodiscard]] Result<PublishOutcome> published(const std::string& database,
                                               const PublishOptions& options);

/// A published folder, read as the page reads it.
class PublishedSite {
  public:
    /// Throws if the folder has no page or no baseline.
    explicit PublishedSite(std::string folder);

    [[nodiscard]] const nlohmann::json& baseline() const { return baseline_; }
    [[nodiscard]] std::string text(const std::string& name) const;
    [[nodiscard]] nlohmann::json json(const std::string& name) const;
    /// The name of the baseline's file for a position; nothing if it has none.
    [[nodiscard]] std::optional<std::string> area_of(LatLonE7 position) const;
    /// Each is read once.
    [[nodiscard]] Image& image(const std::string& name);
    /// Relative to the folder, sorted; without folders.
    [[nodiscard]] std::vector<std::string> names() const;

  private:
    std::string folder_;
    nlohmann::json baseline_;
    std::map<std::string, Image> images_;
};

}  // namespace thirstline::test
