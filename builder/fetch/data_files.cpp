#include "builder/fetch/data_files.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include "builder/grids/month_pattern.hpp"
#include "schema/base/words.hpp"

namespace thirstline {

namespace {

constexpr std::size_t kMaxNameBytes = 200;

/// What a source of any kind says of its files.
struct SourcePaths {
    const SourceTerms* terms = nullptr;
    std::vector<std::string> paths;
    std::string where;
};

std::vector<SourcePaths> source_paths(const Recipe& recipe) {
    std::vector<SourcePaths> all;
    if (recipe.elevation)
        all.push_back(
            {&recipe.elevation->terms, {recipe.elevation->path}, recipe.elevation->where});
    for (const GridRecipe& grid : recipe.grids)
        all.push_back({&grid.terms, {grid.path}, grid.where});
    for (const StationRecipe& stations : recipe.stations) {
        all.push_back({&stations.terms, {stations.path}, stations.where});
        if (stations.positions) all.back().paths.push_back(stations.positions->path);
    }
    for (const PostalRecipe& postal : recipe.postal)
        all.push_back({&postal.terms, {postal.path}, postal.where});
    return all;
}

/// The path without the prefixes of GDAL's archives: "a/x.zip/y" for "/vsizip/{a/x.zip}/y" too.
std::string_view without_prefixes(std::string_view path) {
    while (path.starts_with("/vsi")) {
        const std::size_t end = path.find('/', 1);
        if (end == std::string_view::npos) break;
        path.remove_prefix(end + 1);
    }
    return path.starts_with('{') ? path.substr(1) : path;
}

/// The file in the data folder that a path is in; empty for a path elsewhere.
std::string name_in_folder(const std::string& path, const std::string& folder) {
    std::string_view rest = without_prefixes(path);
    if (!rest.starts_with(folder + "/")) return {};
    rest.remove_prefix(folder.size() + 1);
    return std::string(rest.substr(0, rest.find_first_of("/}")));
}

bool is_plain_name(std::string_view name) {
    return !name.empty() && name.size() <= kMaxNameBytes && name.front() != '.' &&
           name.front() != '-' && !name.ends_with(".partial") && !name.ends_with(".partial-from") &&
           std::all_of(name.begin(), name.end(), [](char c) {
               const auto byte = static_cast<unsigned char>(c);
               return byte >= 0x20 && byte != 0x7f && c != '/' && c != '\\';
           });
}

/// The part of an address that names the file: "b.nc" of "https://example.org/a/b.nc?x=1#y".
std::string_view last_part(std::string_view url) {
    url = url.substr(0, url.find_first_of("?#"));
    const std::size_t host = url.find("://");
    const std::size_t slash = url.rfind('/');
    if (slash == std::string_view::npos || host == std::string_view::npos || slash < host + 3)
        return {};
    return url.substr(slash + 1);
}

Error at(const std::string& where, const std::string& message, const std::string& hint = {}) {
    return {ErrorCode::bad_input, where + ": " + message, hint};
}

Result<void> check_address(const SourceUrl& url) {
    const std::string_view text = url.from;
    const bool is_web = text.starts_with("https://") || text.starts_with("http://");
    if (!is_web || text.find_first_of(" \t\r\n") != std::string_view::npos) {
        return fail(at(url.where, in_quotes(url.from) +
                                      " is not an address to download from; it must begin with "
                                      "https:// or http:// and hold no blanks"));
    }
    const std::string_view host = text.substr(text.find("://") + 3);
    if (host.substr(0, host.find_first_of("/?#")).find('@') != std::string_view::npos) {
        return fail(at(url.where,
                       "the address holds a user name or a password, which a recipe must not "
                       "hold",
                       "download the file yourself and put it into the data folder"));
    }
    return {};
}

class FileList {
  public:
    explicit FileList(const Recipe& recipe) : recipe_(recipe) {}

    Result<std::vector<DataFile>> files() {
        for (const SourcePaths& source : source_paths(recipe_)) TRY(add(source));
        return std::move(files_);
    }

  private:
    Result<void> add(const SourcePaths& source) {
        std::vector<std::string> wanted;
        const std::optional<YearRange> years = year_range_of(source.terms->period);
        for (const std::string& path : source.paths)
            for (const std::string& of_month : with_all_months(path, years))
                if (auto name = name_in_folder(of_month, recipe_.data_folder); !name.empty())
                    wanted.push_back(std::move(name));
        if (wanted.empty()) return {};
        std::vector<std::string> given;
        for (const SourceUrl& url : source.terms->urls) TRY(add_downloads(url, years, given));
        const bool none_is_given =
            std::none_of(wanted.begin(), wanted.end(), [&given](const std::string& name) {
                return std::find(given.begin(), given.end(), name) != given.end();
            });
        for (const std::string& name : wanted) {
            const bool is_known =
                std::any_of(files_.begin(), files_.end(),
                            [&name](const DataFile& file) { return file.name == name; });
            if (is_known) continue;
            if (!given.empty() && none_is_given) {
                return fail(at(source.where,
                               "the path names " + in_quotes(name) +
                                   " in the data folder, but the addresses in url give " +
                                   in_quotes(given.front()),
                               "make them agree, or write url = [{ from = \"https://…\", as = " +
                                   in_quotes(name) + " }]"));
            }
            if (!is_plain_name(name))
                return fail(at(source.where, in_quotes(name) + " is not valid for a file's name"));
            files_.push_back({name, "", source.where});
        }
        return {};
    }

    Result<void> add_downloads(const SourceUrl& url, const std::optional<YearRange>& years,
                               std::vector<std::string>& given) {
        TRY(check_address(url));
        const std::vector<std::string> addresses = with_all_months(url.from, years);
        const std::vector<std::string> names = with_all_months(url.as, years);
        for (std::size_t i = 0; i < addresses.size(); ++i) {
            std::string name(last_part(addresses[i]));
            if (!url.as.empty()) name = names.size() == addresses.size() ? names[i] : url.as;
            TRY(add_file({name, addresses[i], url.where}));
            given.push_back(name);
        }
        return {};
    }

    Result<void> add_file(const DataFile& file) {
        if (!is_plain_name(file.name)) {
            return fail(
                at(file.where,
                   (file.name.empty() ? "the address does not end in a file's name"
                                      : in_quotes(file.name) + " is not valid for a file's name"),
                   "write url = [{ from = \"https://…\", as = \"name.zip\" }]"));
        }
        for (DataFile& known : files_) {
            if (known.name != file.name) continue;
            if (known.url.empty()) known.url = file.url;
            if (known.url == file.url) return {};
            return fail(at(file.where,
                           "two addresses give a file of the name " + in_quotes(file.name) +
                               ": the other is in " + known.where,
                           "name one of them otherwise: url = [{ from = \"https://…\", as = "
                           "\"other-name.zip\" }]"));
        }
        files_.push_back(file);
        return {};
    }

    const Recipe& recipe_;
    std::vector<DataFile> files_;
};

}  // namespace

Result<std::vector<DataFile>> data_files(const Recipe& recipe) {
    return FileList(recipe).files();
}

std::vector<std::string> network_paths(const Recipe& recipe) {
    constexpr std::array<std::string_view, 11> kNetwork{
        "/vsicurl",  "/vsis3",   "/vsigs",      "/vsiaz",  "/vsiadls", "/vsioss",
        "/vsiswift", "/vsihdfs", "/vsiwebhdfs", "http://", "https://"};
    std::vector<std::string> found;
    for (const SourcePaths& source : source_paths(recipe)) {
        for (const std::string& path : source.paths) {
            const bool is_network = std::any_of(
                kNetwork.begin(), kNetwork.end(),
                [&path](std::string_view form) { return path.find(form) != std::string::npos; });
            if (is_network) found.push_back(source.where);
        }
    }
    return found;
}

}  // namespace thirstline
