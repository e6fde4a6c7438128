#include "schema/files/csv_rows.hpp"

#include <gtest/gtest.h>

#include <utility>

#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

struct ReadRow {
    std::int64_t line = 0;
    std::vector<std::string> fields;
    std::string problem;
};

std::vector<ReadRow> rows_of(const std::string& content) {
    auto reader = CsvReader::open(test::file_in_test_folder("rows.csv", content));
    EXPECT_TRUE(reader);
    std::vector<ReadRow> rows;
    CsvRow row;
    while (reader->next(row).value()) {
        ReadRow copy{row.line(), {}, std::string(row.problem())};
        for (std::size_t i = 0; i < row.size(); ++i) copy.fields.emplace_back(row.field(i));
        rows.push_back(std::move(copy));
    }
    return rows;
}

using Fields = std::vector<std::string>;

TEST(CsvRows, KnowQuotesBlanksAndLines) {
    const auto rows = rows_of("a, b ,\"c,d\"\r\n\n \n\"say \"\"so\"\"\",,\n\"two\nlines\",x\nlast");
    ASSERT_EQ(rows.size(), 4U);
    EXPECT_EQ(rows[0].fields, (Fields{"a", "b", "c,d"}));
    EXPECT_EQ(rows[0].line, 1);
    EXPECT_EQ(rows[1].fields, (Fields{"say \"so\"", "", ""}));
    EXPECT_EQ(rows[1].line, 4);
    EXPECT_EQ(rows[2].fields, (Fields{"two\nlines", "x"}));
    EXPECT_EQ(rows[2].line, 5);
    EXPECT_EQ(rows[3].fields, (Fields{"last"}));
    EXPECT_EQ(rows[3].line, 7);
}

TEST(CsvRows, DropAByteOrderMarkAndKeepALoneCarriageReturn) {
    const auto rows = rows_of(
        "\xEF\xBB\xBF"
        "a,b\nc\rd,e\n");
    ASSERT_EQ(rows.size(), 2U);
    EXPECT_EQ(rows[0].fields, (Fields{"a", "b"}));
    EXPECT_EQ(rows[1].fields, (Fields{"c\rd", "e"}));
}

TEST(CsvRows, SkipOnlyTheLineOfAnOpenQuote) {
    const auto rows = rows_of("1,a\n\"2,b\n3,c\n4,d\n");
    ASSERT_EQ(rows.size(), 4U);
    EXPECT_EQ(rows[1].problem, "a quote is not closed");
    EXPECT_EQ(rows[1].line, 2);
    EXPECT_EQ(rows[2].fields, (Fields{"3", "c"}));
    EXPECT_EQ(rows[2].line, 3);
    EXPECT_EQ(rows[3].fields, (Fields{"4", "d"}));
}

TEST(CsvRows, ReadOnAfterALineThatIsTooLong) {
    const std::string huge(3 * kLongestRowBytes, 'x');
    const auto rows = rows_of("1\n" + huge + "\n3\n\"" + huge.substr(0, 40'000) + "\n" +
                              huge.substr(0, 40'000) + "\n6\n");
    ASSERT_EQ(rows.size(), 6U);
    EXPECT_NE(rows[1].problem, "");
    EXPECT_EQ(rows[2].fields, (Fields{"3"}));
    EXPECT_EQ(rows[3].problem, "a quote is not closed");
    EXPECT_EQ(rows[4].fields.front().size(), 40'000U);
    EXPECT_EQ(rows[5].fields, (Fields{"6"}));
    EXPECT_EQ(rows[5].line, 6);
}

/// What the reader gives for it, taken down as one text.
std::string answer_text(const std::string& text) {
    std::string out;
    for (const auto& row : rows_of(text)) {
        out += std::to_string(row.line) + " " + row.problem;
        for (const std::string& field : row.fields) out += "|" + field;
        out += "\n";
    }
    return out;
}

TEST(CsvRows, AreReadToTheEndWhereQuotesAreNotClosed) {
    std::string unclosed, odd;
    for (int i = 0; i < 300'000; ++i) {
        unclosed += "\"a\n";
        odd += i % 3 == 0 ? "\"\n" : "\"b\"x,\"\n";
    }
    // If each quote were sought to the end of the file, the test's time limit would end this.
    for (const std::string& text : {unclosed, odd}) EXPECT_GT(rows_of(text).size(), 3U);
}

TEST(CsvRows, SkipAQuoteThatIsClosedTooLate) {
    // The second row's quote is closed, the first one's is not within 64 KiB.
    const std::string filler(40'000, 'x');
    EXPECT_EQ(
        answer_text("1,\"a\n" + filler + "\n2," + filler + "\n3,\"c\nd\"\n4,e\n"),
        "1 a quote is not closed\n2 |" + filler + "\n3 |2|" + filler + "\n4 |3|c\nd\n6 |4|e\n");
}

TEST(CsvRows, EscapeSpreadsheetFormulas) {
    for (const char* text :
         {"=1+1", "=3", "@7", "\t5", "+A1", "-A1", "@SUM(A1)", "\t=1", "\r=1", "-1-1", "+"}) {
        std::string out;
        append_csv_text(out, text);
        const auto rows = rows_of(out + "\n");
        ASSERT_EQ(rows.size(), 1U) << text;
        EXPECT_EQ(rows[0].fields, (Fields{std::string("'") + text}));
    }
    for (const char* text : {"", "-12", "+1.5", "plain", "a=b", "'x"}) {
        std::string out;
        append_csv_text(out, text);
        EXPECT_EQ(out, text);
    }
}

TEST(CsvRows, AreReadBackUnchanged) {
    for (const std::string field :
         {"plain", "with,comma", "with \"quotes\"", "two\nlines", " edge", "edge ", "", "é"}) {
        std::string line = "x,";
        append_csv_field(line, field);
        const auto rows = rows_of(line + "\n");
        ASSERT_EQ(rows.size(), 1U) << field;
        EXPECT_EQ(rows[0].fields, (Fields{"x", field}));
    }
}

TEST(CsvRows, OfAMissingFileAreAnIoError) {
    const auto reader = CsvReader::open(test::path_in_test_folder("none.csv"));
    ASSERT_FALSE(reader);
    EXPECT_EQ(reader.error().code, ErrorCode::io);
}

}  // namespace
}  // namespace thirstline
