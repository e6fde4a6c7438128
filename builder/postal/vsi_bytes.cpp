#include "builder/postal/vsi_bytes.hpp"

#include <cpl_vsi.h>

#include <memory>

namespace thirstline {

Result<ByteSource> vsi_bytes(const std::string& path, const std::string& where) {
    VSIStatBufL status;
    if (VSIStatL(path.c_str(), &status) == 0 && VSI_ISDIR(status.st_mode))
        return fail(ErrorCode::io, where + ": " + path + " is a folder, not a file");
    std::shared_ptr<VSILFILE> file(VSIFOpenL(path.c_str(), "rb"), [](VSILFILE* open) {
        if (open != nullptr) VSIFCloseL(open);
    });
    if (!file) return fail(ErrorCode::io, where + ": cannot open " + path);
    return ByteSource([file](char* buffer, std::size_t capacity) -> Result<std::size_t> {
        return VSIFReadL(buffer, 1, capacity, file.get());
    });
}

}  // namespace thirstline
