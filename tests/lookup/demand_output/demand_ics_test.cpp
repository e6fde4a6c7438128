// The file as a whole is read by tests/lookup/demand_output/check_calendar.py.
#include "lookup/demand_output/demand_ics.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

// RFC 5545, section 3.1: at most 75 octets without the line end, the first octet of a continuation
// is a blank.
TEST(DemandIcs, FoldsLinesAtSeventyFiveOctets) {
    EXPECT_EQ(folded_calendar_line("SUMMARY:short"), "SUMMARY:short\r\n");
    const std::string of_75(75, 'a');
    EXPECT_EQ(folded_calendar_line(of_75), of_75 + "\r\n");
    EXPECT_EQ(folded_calendar_line(of_75 + "b"), of_75 + "\r\n b\r\n");
    EXPECT_EQ(folded_calendar_line(of_75 + std::string(75, 'b')),
              of_75 + "\r\n " + std::string(74, 'b') + "\r\n b\r\n");
}

TEST(DemandIcs, FoldsBetweenCharacters) {
    const std::string before(74, 'a');
    EXPECT_EQ(folded_calendar_line(before + "é"), before + "\r\n é\r\n");
}

}  // namespace
}  // namespace thirstline
