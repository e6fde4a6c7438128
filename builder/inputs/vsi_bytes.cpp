#include "builder/inputs/vsi_bytes.hpp"

#include <cpl_vsi.h>

#include <memory>

#include "builder/grids/gdal_messages.hpp"
#include "builder/grids/pipe_check.hpp"

namespace thirstline {

std::string unpacked_path(const std::string& path) {
    if (path.ends_with(".gz") && !path.starts_with("/vsigzip/")) return "/vsigzip/" + path;
    if (path.ends_with(".zip") && !path.starts_with("/vsizip/")) return "/vsizip/" + path;
    return path;
}

Result<ByteSource> vsi_bytes(const std::string& path, const std::string& where) {
    TRY(refuse_pipe(path, where + ": "));
    const GdalMessages quiet;  // faults in the file are reported when it is read
    VSIStatBufL status;
    if (VSIStatL(path.c_str(), &status) == 0 && VSI_ISDIR(status.st_mode))
        return fail(ErrorCode::io, where + ": " + path + " is a folder, not a file");
    std::shared_ptr<VSILFILE> file(VSIFOpenL(unpacked_path(path).c_str(), "rb"),
                                   [](VSILFILE* open) {
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
