#include "lookup/text_sink.hpp"

#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>

namespace thirstline {
namespace {

constexpr std::size_t kBlockBytes = std::size_t{1} << 16;

}  // namespace

DescriptorSink::DescriptorSink(int descriptor, std::string name)
    : descriptor_(descriptor), name_(std::move(name)) {}

Result<void> DescriptorSink::write(std::string_view text) {
    waiting_ += text;
    if (waiting_.size() < kBlockBytes) return {};
    return flush();
}

Result<void> DescriptorSink::flush() {
    std::string_view rest = waiting_;
    while (!rest.empty()) {
        const ssize_t written = ::write(descriptor_, rest.data(), rest.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) {
            const std::string reason = std::strerror(errno);
            waiting_.clear();
            return fail(ErrorCode::io, name_ + " cannot be written: " + reason);
        }
        rest.remove_prefix(static_cast<std::size_t>(written));
    }
    waiting_.clear();
    return {};
}

}  // namespace thirstline
