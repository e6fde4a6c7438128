#include "builder/inputs/vsi_bytes.hpp"

#include <cpl_vsi.h>

#include <memory>

#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/pipe_check.hpp"
#include "builder/inputs/archive_files.hpp"

namespace thirstline {

namespace {

bool is_gzip(const std::string& path) {
    return path.ends_with(".gz") && !path.starts_with("/vsigzip/");
}

}  // namespace

std::string input_file(const std::string& path) {
    const auto archive = archive_path(path);
    return archive ? archive->archive : path;
}

bool is_folder(const std::string& path) {
    VSIStatBufL status;
    return VSIStatL(path.c_str(), &status) == 0 && VSI_ISDIR(status.st_mode);
}

std::string file_name_of(const std::string& path) {
    return path.substr(path.rfind('/') + 1);
}

Result<ByteSource> vsi_bytes(const std::string& path, const std::string& where) {
    TRY(refuse_pipe(path, where + ": "));
    if (const auto archive = archive_path(path)) return bytes_of_one_file(*archive, where);
    const GdalMessages quiet;  // faults in the file are reported when it is read
    if (is_folder(path))
        return fail(ErrorCode::io, where + ": " + path + " is a folder, not a file");
    const std::string unpacked = is_gzip(path) ? "/vsigzip/" + path : path;
    std::shared_ptr<VSILFILE> file(VSIFOpenL(unpacked.c_str(), "rb"), [](VSILFILE* open) {
        if (open != nullptr) VSIFCloseL(open);
    });
    if (!file) return fail(ErrorCode::io, where + ": cannot open " + path);
    return ByteSource(
        [file, path, where](char* buffer, std::size_t capacity) -> Result<std::size_t> {
            const GdalMessages messages;
            const std::size_t bytes = VSIFReadL(buffer, 1, capacity, file.get());
            // A truncated archive reads like a shorter file, but GDAL reports a failure.
            if (bytes < capacity && !messages.first_failure().empty()) {
                return fail(ErrorCode::bad_input,
                            where + ": " + path + " is damaged and cannot be read to its end");
            }
            return bytes;
        });
}

}  // namespace thirstline
