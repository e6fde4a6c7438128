#include "schema/base/result.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

// The contract of the command line: 0 done · 1 no data · 2 usage · 3 bad input · 4 database ·
// 5 I/O · 70 internal · 130 interrupted.
TEST(ExitStatus, IsThatOfTheInterface) {
    struct Row {
        ErrorCode code;
        int status;
    };
    for (const Row& row :
         {Row{ErrorCode::no_data, 1}, Row{ErrorCode::usage, 2}, Row{ErrorCode::bad_input, 3},
          Row{ErrorCode::bad_database, 4}, Row{ErrorCode::io, 5}, Row{ErrorCode::internal, 70},
          Row{ErrorCode::interrupted, 130}}) {
        EXPECT_EQ(exit_status(row.code), row.status);
    }
    // A code that is added without a row above: seven are all there are.
    EXPECT_EQ(static_cast<int>(ErrorCode::interrupted), 6);
    EXPECT_EQ(exit_status(static_cast<ErrorCode>(99)), 70);
}

TEST(Result, HandsErrorsOn) {
    const auto inner = []() -> Result<int> { return fail(ErrorCode::io, "what", "help"); };
    const auto outer = [&inner]() -> Result<void> {
        auto number = inner();
        if (!number) return fail(std::move(number.error()));
        return {};
    };
    const auto result = outer();
    ASSERT_FALSE(result.has_value());
    EXPECT_EQ(result.error().code, ErrorCode::io);
    EXPECT_EQ(result.error().message, "what");
    EXPECT_EQ(result.error().hint, "help");
}

}  // namespace
}  // namespace thirstline
