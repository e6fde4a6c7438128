// Bytes as a file in GDAL's memory file system.
#pragma once

#include <cpl_vsi.h>

#include <vector>

#include "builder/grids/grid.hpp"
#include "tests/fuzz/fuzz_targets.hpp"

namespace thirstline::fuzz {

class GdalFile {
  public:
    GdalFile(const char* path, Bytes bytes) : path_(path), bytes_(bytes.begin(), bytes.end()) {
        VSIFCloseL(VSIFileFromMemBuffer(path, bytes_.data(), bytes_.size(), FALSE));
    }
    ~GdalFile() { VSIUnlink(path_); }
    GdalFile(const GdalFile&) = delete;
    GdalFile& operator=(const GdalFile&) = delete;

  private:
    const char* path_;
    std::vector<GByte> bytes_;
};

inline void set_up_gdal_once() {
    static const bool is_done = [] {
        set_up_gdal();
        return true;
    }();
    (void)is_done;
}

}  // namespace thirstline::fuzz
