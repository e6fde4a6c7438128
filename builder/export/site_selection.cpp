#include "builder/export/site_selection.hpp"

#include <filesystem>
#include <utility>

#include "builder/export/postal_list.hpp"

namespace thirstline {

namespace {

/// A file's name without its folder: the output must not depend on where files are.
std::string name_of(const std::string& path) {
    return std::filesystem::path(path).filename().string();
}

}  // namespace

Result<SiteSelection> SiteSelection::make(const SelectionOptions& options, Database& database) {
    SiteSelection selection;
    const auto describe = [&selection](const std::string& words) {
        selection.description_ += (selection.description_.empty() ? "" : "; ") + words;
    };
    if (!options.box.empty()) {
        selection.box_ = TRY(parsed_box(options.box));
        describe("box " + options.box);
    }
    if (!options.region_file.empty()) {
        selection.region_ = TRY(RegionPolygons::read(options.region_file));
        describe("region " + name_of(options.region_file));
    }
    if (!options.postal_file.empty()) {
        auto places = TRY(read_postal_list(options.postal_file, database));
        std::erase_if(places, [&selection](const PostalPlace& place) {
            return !selection.holds(place.position);
        });
        if (places.empty()) {
            return fail(ErrorCode::no_data, "none of the postal codes of " + options.postal_file +
                                                " is in the box and region chosen");
        }
        describe("postal codes of " + name_of(options.postal_file));
        selection.places_ = std::move(places);
    }
    return selection;
}

SiteSelection SiteSelection::of_box(const LatLonBox& box, std::string description) {
    SiteSelection selection;
    selection.box_ = box;
    selection.description_ = std::move(description);
    return selection;
}

bool SiteSelection::holds(LatLonE7 position) const {
    return (!box_ || thirstline::holds(*box_, position)) && (!region_ || region_->holds(position));
}

bool SiteSelection::reaches_into(const LatLonBox& box) const {
    return (!box_ || thirstline::reaches_into(*box_, box)) && (!region_ || region_->touches(box));
}

bool SiteSelection::touches(const LatLonBox& box) const {
    return (!box_ || thirstline::touches(*box_, box)) && (!region_ || region_->touches(box));
}

bool SiteSelection::contains(const LatLonBox& box) const {
    return (!box_ || thirstline::contains(*box_, box)) && (!region_ || region_->contains(box));
}

std::optional<LatLonBox> SiteSelection::bounds() const {
    if (region_) return region_->bounds();
    return box_;
}

}  // namespace thirstline
