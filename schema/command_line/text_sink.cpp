#include "schema/command_line/text_sink.hpp"

#include <utility>

#include "schema/platform/byte_streams.hpp"

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
    return write_all(descriptor_, text, name_);
}

Result<void> DescriptorSink::flush() {
    auto written = write_all(descriptor_, waiting_, name_);
    waiting_.clear();
    return written;
}

}  // namespace thirstline
