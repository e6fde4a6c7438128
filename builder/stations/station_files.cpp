#include "builder/stations/station_files.hpp"

#include <cpl_string.h>
#include <cpl_vsi.h>

#include <algorithm>
#include <memory>

#include "builder/grids/gdal_messages.hpp"
#include "builder/inputs/archive_files.hpp"
#include "builder/inputs/vsi_bytes.hpp"

namespace thirstline {

namespace {

struct ListDestroyer {
    void operator()(char** list) const { CSLDestroy(list); }
};

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

Result<std::vector<std::string>> station_files(const std::string& path, const std::string& where) {
    const GdalMessages quiet;  // errors are reported below
    const std::string file = input_file(path);
    if (archive_path(path)) {
        if (exists(file)) return std::vector{file};
        return fail(ErrorCode::io, where + ": cannot open " + file + ": there is no such file");
    }
    const auto slash = path.rfind('/');
    const std::string last = path.substr(slash + 1);
    const bool is_pattern = last.find_first_of("*?") != std::string::npos;
    std::string folder = path;
    if (is_pattern) folder = slash == std::string::npos ? "." : path.substr(0, slash);
    if (!is_pattern && !is_folder(folder)) {
        if (!exists(path))
            return fail(ErrorCode::io, where + ": cannot open " + path + ": there is no such file");
        return std::vector{file};
    }
    std::vector<std::string> files;
    for (const std::string& name : names_in(folder)) {
        if (name.front() == '.' || (is_pattern && !fits_pattern(name, last))) continue;
        const std::string in_folder = folder + "/" + name;
        if (!is_folder(in_folder)) files.push_back(input_file(in_folder));
    }
    if (files.empty()) {
        return fail(ErrorCode::io,
                    where + ": no file " + (is_pattern ? "fits " + path : "is in " + path));
    }
    return files;
}

Result<void> visit_station_tables(const std::string& path, const std::string& where,
                                  const TableVisitor& visit) {
    const auto archive = archive_path(path);
    const auto files = TRY(station_files(path, where));
    for (const std::string& file : files) {
        const auto packed = archive ? archive : archive_path(file);
        if (!packed) {
            auto bytes = TRY(vsi_bytes(file, where));
            TRY(visit(file, std::move(bytes)));
            continue;
        }
        ArchiveReader reader = TRY(ArchiveReader::open(*packed, where));
        bool is_empty = true;
        while (true) {
            const auto name = TRY(reader.next());
            if (!name) break;
            is_empty = false;
            TRY(visit(file + "/" + *name, reader.bytes()));
        }
        if (is_empty)
            return fail(ErrorCode::io, where + ": no file in " + packed->archive + " fits " +
                                           (packed->inside.empty() ? "*" : packed->inside));
    }
    return {};
}

Error within_archive(Error error, const std::string& path, const std::vector<std::string>& files) {
    const auto archive = archive_path(path);
    const bool names_one_file = archive && !archive->inside.empty() &&
                                archive->inside.find_first_of("*?") == std::string::npos;
    if (!archive || names_one_file) return error;
    const std::string name = file_name_of(archive->archive);
    error.message += "; it is in " + name;
    error.hint = "name the table that is wanted in the path, or use a pattern such as \"" + name +
                 "/*.csv\"";
    if (files.size() > 1) {
        const std::string first = file_name_of(files.front());
        error.message += ", whose " + first + " has the columns: these are different tables";
        error.hint =
            "name the table that is wanted in the path, such as \"" + name + "/" + first + "\"";
    }
    return error;
}

}  // namespace thirstline
