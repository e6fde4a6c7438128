#include "schema/command_line/text_sink.hpp"

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
    if (text.size() < kBlockBytes) {
        waiting_ += text;
        return waiting_.size() < kBlockBytes ? Result<void>{} : flush();
    }
    TRY(flush());
    return write_through(text);
}

Result<void> DescriptorSink::flush() {
    auto written = write_through(waiting_);
    waiting_.clear();
    return written;
}

Result<void> DescriptorSink::write_through(std::string_view rest) {
    while (!rest.empty()) {
        const ssize_t written = ::write(descriptor_, rest.data(), rest.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0)
            return fail(ErrorCode::io, name_ + " cannot be written: " + std::strerror(errno));
        rest.remove_prefix(static_cast<std::size_t>(written));
    }
    return {};
}

}  // namespace thirstline
