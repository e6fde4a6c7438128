// Compares the implementations with printf and strtod with the standard library's std::to_chars and
// std::from_chars, which are independent of them.
#include "schema/text/double_text.hpp"

#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <random>
#include <vector>

namespace thirstline {
namespace {

std::vector<double> doubles_of_all_kinds() {
    std::vector<double> values{0.0,  -0.0,   1.0,    20.0,    0.7,    0.05,   -5.0,  1e4,
                               1e5,  123456, 1.5e-4, 1e-4,    1e-5,   1e15,   1e16,  1e22,
                               1e23, 1.2e20, 0.1,    1.0 / 3, 5e-324, 1e-300, 1e300, 2e7};
    values.push_back(std::numeric_limits<double>::max());
    values.push_back(std::numeric_limits<double>::min());
    std::mt19937_64 random(11);
    while (values.size() < 20'000) {
        const auto any = std::bit_cast<double>(random());
        if (std::isfinite(any)) values.push_back(any);
        values.push_back(static_cast<double>(random() % 10'000'000) / 1000.0);
        values.push_back(static_cast<double>(random() % 1'000'000) * 1e6);
    }
    return values;
}

TEST(DoubleText, ShortestTextIsTheSameBothWays) {
    EXPECT_EQ(shortest_text(0.7), "0.7");
    EXPECT_EQ(shortest_text(-20.0), "-20");
    for (const double value : doubles_of_all_kinds()) {
        ASSERT_EQ(shortest_text_by_printf(value), shortest_text(value));
    }
}

TEST(DoubleText, NearestDoubleIsTheSameBothWays) {
    std::mt19937 random(13);
    const std::string characters = "0123456789.-";
    for (int run = 0; run < 100'000; ++run) {
        std::string text;
        for (std::size_t i = random() % 30; i > 0; --i) {
            text.push_back(characters[random() % (run % 2 == 0 ? 11 : 12)]);
        }
        ASSERT_EQ(nearest_double_by_strtod(text), nearest_double(text)) << text;
    }
    for (const char* text :
         {"", "-", ".", "1.", ".5", "1e5", "0x10", "nan", "inf", " 1", "1 ", "+1", "--1", "1-",
          "9007199254740993", "0.1000000000000000055511151231257827"}) {
        EXPECT_EQ(nearest_double_by_strtod(text), nearest_double(text)) << text;
    }
    const std::string too_great(400, '9');
    EXPECT_FALSE(nearest_double_by_strtod(too_great).has_value());
    EXPECT_FALSE(nearest_double(too_great).has_value());
}

TEST(DoubleText, TextAndDoubleAreEachOthersInverse) {
    for (const double value : doubles_of_all_kinds()) {
        const std::string text = shortest_text(value);
        if (text.find('e') != std::string::npos) continue;
        ASSERT_EQ(nearest_double(text), value);
    }
}

}  // namespace
}  // namespace thirstline
