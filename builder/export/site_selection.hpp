// The sites of an export: all of them, or those that satisfy all given criteria — a box, a region,
// a list of postal codes.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "builder/export/lat_lon_box.hpp"
#include "builder/export/region_polygons.hpp"
#include "schema/base/result.hpp"
#include "schema/database/database.hpp"

namespace thirstline {

/// Values of the command's options; empty if not given.
struct SelectionOptions {
    std::string box;
    std::string postal_file;
    std::string region_file;
};

class SiteSelection {
  public:
    /// Selects everything.
    SiteSelection() = default;
    /// Errors: those of parsed_box, RegionPolygons::read and read_postal_list; no_data if none of
    /// the listed codes is in the box and region.
    [[nodiscard]] static Result<SiteSelection> make(const SelectionOptions& options,
                                                    Database& database);
    /// Only a box; `description` is shown to users.
    [[nodiscard]] static SiteSelection of_box(const LatLonBox& box, std::string description);

    [[nodiscard]] bool is_everything() const { return !box_ && !region_ && !places_; }
    /// The listed places that are in box and region; nothing if no list was given.
    [[nodiscard]] const std::optional<std::vector<PostalPlace>>& places() const { return places_; }

    // The functions from here on refer to box and region only.
    [[nodiscard]] bool holds(LatLonE7 position) const;
    /// False only if no site of the selection is inside the box, off its edge.
    [[nodiscard]] bool reaches_into(const LatLonBox& box) const;
    /// False only if no site of the selection is inside the box or on its edge.
    [[nodiscard]] bool touches(const LatLonBox& box) const;
    /// True only if all sites of the box are selected.
    [[nodiscard]] bool contains(const LatLonBox& box) const;
    /// A box around the selection; nothing if it is the whole Earth.
    [[nodiscard]] std::optional<LatLonBox> bounds() const;

    /// For users, such as "box -38.5,44.2,-37.9,44.8; region county.geojson"; empty for everything.
    [[nodiscard]] const std::string& description() const { return description_; }

  private:
    std::optional<LatLonBox> box_;
    std::optional<RegionPolygons> region_;
    std::optional<std::vector<PostalPlace>> places_;
    std::string description_;
};

}  // namespace thirstline
