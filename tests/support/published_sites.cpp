#include "tests/support/published_sites.hpp"

#include <algorithm>
#include <filesystem>
#include <stdexcept>

#include "builder/grids/grid.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline::test {

const PageAssets& small_page() {
    static const PageAssets kPage{
        "<!doctype html><title>{{title}}</title><h1>{{title}}</h1>"
        "<script type=\"application/json\" id=\"site\">{\"baseline\":\"{{baseline}}\",\"reader\":"
        "\"{{reader}}\",\"demand\":\"{{demand}}\",\"script\":\"{{page_script}}\"}</script>",
        "const VERSION = \"{{version}}\";\nconst FILES = {{files}};\n", "export {};\n",
        "reader's bytes", "demand's bytes"};
    return kPage;
}

Result<PublishOutcome> published(const std::string& database, const PublishOptions& options) {
    static const bool is_set_up = [] {
        set_up_gdal();
        return true;
    }();
    static const std::atomic<bool> never{!is_set_up};
    return publish(*opened(database), small_page(), options, never);
}

PublishedSite::PublishedSite(std::string folder) : folder_(std::move(folder)) {
    const std::string page = text("index.html");
    const std::string before = "id=\"site\">";
    const std::size_t begin = page.find(before) + before.size();
    const std::size_t end = page.find("</script>", begin);
    baseline_ = json(nlohmann::json::parse(page.substr(begin, end - begin)).at("baseline"));
}

std::string PublishedSite::text(const std::string& name) const {
    return bytes_of_file(folder_ + "/" + name);
}

nlohmann::json PublishedSite::json(const std::string& name) const {
    return nlohmann::json::parse(text(name));
}

std::optional<std::string> PublishedSite::area_of(LatLonE7 position) const {
    // In units of 1e-7 degree / 3600, in which both a position and an edge are whole.
    const std::int64_t edge = baseline_["areas"]["edge_arcsec"].get<std::int64_t>() * 10'000'000;
    const std::int64_t row = (position.lat_e7 + 900'000'000LL) * 3600 / edge;
    const std::int64_t column = (position.lon_e7 + 1'800'000'000LL) * 3600 / edge;
    const nlohmann::json& files = baseline_["areas"]["files"];
    const auto found = files.find(std::to_string(row) + "," + std::to_string(column));
    if (found == files.end()) return std::nullopt;
    return found->at("name").get<std::string>();
}

Image& PublishedSite::image(const std::string& name) {
    const auto found = images_.find(name);
    if (found != images_.end()) return found->second;
    return images_.emplace(name, Image::of_file(folder_ + "/" + name)).first->second;
}

std::vector<std::string> PublishedSite::names() const {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder_)) {
        if (!entry.is_directory())
            names.push_back(entry.path().lexically_relative(folder_).string());
    }
    std::ranges::sort(names);
    return names;
}

}  // namespace thirstline::test
