#include "builder/stations/station_files.hpp"

#include <cpl_string.h>
#include <cpl_vsi.h>

#include <algorithm>
#include <memory>

#include "builder/grids/gdal_messages.hpp"
#include "builder/inputs/vsi_bytes.hpp"

namespace thirstline {

namespace {

struct ListDestroyer {
    void operator()(char** list) const { CSLDestroy(list); }
};

bool is_folder(const std::string& path) {
    VSIStatBufL status;
    return VSIStatL(path.c_str(), &status) == 0 && VSI_ISDIR(status.st_mode);
}

bool exists(const std::string& path) {
    VSIStatBufL status;
    return VSIStatL(path.c_str(), &status) == 0;
}

std::vector<std::string> names_in(const std::string& folder) {
    std::vector<std::string> names;
    const std::unique_ptr<char*, ListDestroyer> list(VSIReadDir(folder.c_str()));
    for (char** name = list.get(); name != nullptr && *name != nullptr; ++name)
        names.emplace_back(*name);
    std::sort(names.begin(), names.end());
    return names;
}

}  // namespace

bool fits_pattern(std::string_view name, std::string_view pattern) {
    std::size_t n = 0;
    std::size_t p = 0;
    std::size_t star = std::string_view::npos;
    std::size_t after_star = 0;
    while (n < name.size()) {
        if (p < pattern.size() && (pattern[p] == '?' || pattern[p] == name[n])) {
            ++n;
            ++p;
        } else if (p < pattern.size() && pattern[p] == '*') {
            star = p++;
            after_star = n;
        } else if (star != std::string_view::npos) {
            p = star + 1;
            n = ++after_star;  // the last star matches one more character
        } else {
            return false;
        }
    }
    return pattern.find_first_not_of('*', p) == std::string_view::npos;
}

Result<std::vector<std::string>> station_files(const std::string& path, const std::string& where) {
    const GdalMessages quiet;  // errors are reported below
    const auto slash = path.rfind('/');
    const std::string last = slash == std::string::npos ? path : path.substr(slash + 1);
    const bool is_pattern = last.find_first_of("*?") != std::string::npos;
    std::string folder = unpacked_path(path);
    if (is_pattern)
        folder = slash == std::string::npos ? "." : unpacked_path(path.substr(0, slash));
    if (!is_pattern && !is_folder(folder)) {
        if (!exists(path))
            return fail(ErrorCode::io, where + ": cannot open " + path + ": there is no such file");
        return std::vector{unpacked_path(path)};
    }
    std::vector<std::string> files;
    for (const std::string& name : names_in(folder)) {
        if (name.front() == '.' || (is_pattern && !fits_pattern(name, last))) continue;
        const std::string file = folder + "/" + name;
        if (!is_folder(file)) files.push_back(unpacked_path(file));
    }
    if (files.empty()) {
        return fail(ErrorCode::io,
                    where + ": no file " + (is_pattern ? "fits " + path : "is in " + path));
    }
    return files;
}

}  // namespace thirstline
