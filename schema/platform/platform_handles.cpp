// Who owns an open file, on all systems.
#include <utility>

#include "schema/platform/byte_streams.hpp"
#include "schema/platform/regular_file.hpp"

namespace thirstline {

RegularFile::RegularFile(RegularFile&& other) noexcept
    : handle_(std::exchange(other.handle_, kNoHandle)),
      map_(std::exchange(other.map_, nullptr)),
      mapped_bytes_(other.mapped_bytes_) {}

RegularFile& RegularFile::operator=(RegularFile&& other) noexcept {
    if (this != &other) {
        close();
        handle_ = std::exchange(other.handle_, kNoHandle);
        map_ = std::exchange(other.map_, nullptr);
        mapped_bytes_ = other.mapped_bytes_;
    }
    return *this;
}

RegularFile::~RegularFile() {
    close();
}

InputStream::InputStream(int descriptor, std::string name)
    : descriptor_(descriptor), name_(std::move(name)) {}

InputStream::InputStream(InputStream&& other) noexcept
    : descriptor_(std::exchange(other.descriptor_, kNoDescriptor)), name_(std::move(other.name_)) {}

InputStream& InputStream::operator=(InputStream&& other) noexcept {
    if (this != &other) {
        close();
        descriptor_ = std::exchange(other.descriptor_, kNoDescriptor);
        name_ = std::move(other.name_);
    }
    return *this;
}

InputStream::~InputStream() {
    close();
}

InputStream InputStream::standard_input() {
    return {kStandardInput, "standard input"};
}

}  // namespace thirstline
