// Captures a command's output.
#pragma once

#include <string>

#include "schema/command_line/text_sink.hpp"

namespace thirstline::test {

class CapturedSink final : public TextSink {
  public:
    [[nodiscard]] Result<void> write(std::string_view more) override {
        text += more;
        return {};
    }
    std::string text;
};

}  // namespace thirstline::test
