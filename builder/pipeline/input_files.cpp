#include "builder/pipeline/input_files.hpp"

#include <cpl_vsi.h>

#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/pipe_check.hpp"
#include "builder/inputs/vsi_bytes.hpp"

namespace thirstline {

namespace {

Error changed(const std::string& path, const std::string& where) {
    return {ErrorCode::bad_input, where + ": " + path + " changed while it was read",
            "build again when nothing writes to it"};
}

}  // namespace

std::optional<InputFiles::Stamp> InputFiles::stamp_of(const std::string& path) {
    const GdalMessages quiet;  // reading the file reports its errors
    VSIStatBufL status;
    if (VSIStatL(path.c_str(), &status) != 0) return std::nullopt;
    return Stamp{
        static_cast<std::uint64_t>(status.st_dev), static_cast<std::uint64_t>(status.st_ino),
        static_cast<std::int64_t>(status.st_size), status.st_mtim.tv_sec, status.st_mtim.tv_nsec};
}

void InputFiles::note(const std::string& path) {
    stamps_.try_emplace(path, stamp_of(path));
}

Result<void> InputFiles::add(const std::string& path, const std::string& where) {
    TRY(refuse_pipe(path, where + ": "));
    if (before_.contains(path) || !stamp_of(path)) return {};
    auto file = TRY(hashed_file(path, where));
    const auto noted = stamps_.find(path);
    if (noted != stamps_.end() && noted->second != stamp_of(path))
        return fail(changed(path, where));
    before_.emplace(path, std::move(file));
    return {};
}

Result<SourceFile> InputFiles::unchanged(const std::string& path, const std::string& where) {
    const auto known = after_.find(path);
    if (known != after_.end()) return known->second;
    auto file = TRY(hashed_file(path, where));
    const auto before = before_.find(path);
    if (before == before_.end() || before->second.sha256 != file.sha256)
        return fail(changed(path, where));
    return after_.emplace(path, std::move(file)).first->second;
}

std::vector<SourceFile> InputFiles::files() const {
    std::vector<SourceFile> files;
    for (const auto& [path, file] : after_) files.push_back(file);
    return files;
}

Result<std::vector<SourceFile>> hashed_inputs(const Recipe& recipe, const SourceGrids& grids,
                                              const StationSet& stations) {
    std::map<std::string, std::string> where_by_path;
    const auto add_grid = [&where_by_path](const Grid& grid) {
        for (const std::string& path : grid.files())
            where_by_path.try_emplace(path, grid.spec().where);
    };
    if (grids.elevation) add_grid(*grids.elevation);
    for (const SourceGrid& grid : grids.grids) add_grid(*grid.grid);
    for (std::size_t s = 0; s < stations.inputs.size(); ++s) {
        for (const std::string& path : stations.inputs[s])
            where_by_path.try_emplace(path, recipe.stations[s].where);
    }
    for (const PostalRecipe& postal : recipe.postal)
        where_by_path.try_emplace(input_file(postal.path), postal.where);
    std::vector<SourceFile> files;
    for (const auto& [path, where] : where_by_path) {
        auto file = TRY(hashed_file(path, where));
        files.push_back(std::move(file));
    }
    return files;
}

}  // namespace thirstline
