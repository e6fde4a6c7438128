// Tables with text before their header, other separators, and columns of fixed width.
#include "builder/inputs/table_rows.hpp"

#include <gtest/gtest.h>

#include <cstring>
#include <memory>

namespace thirstline {
namespace {

/// In pieces of a few bytes, so that every line is spread over several.
ByteSource pieces_of(const std::string& text) {
    auto at = std::make_shared<std::size_t>(0);
    return [text, at](char* buffer, std::size_t capacity) -> Result<std::size_t> {
        const std::size_t count = std::min({capacity, text.size() - *at, std::size_t{5}});
        std::memcpy(buffer, text.data() + *at, count);
        *at += count;
        return count;
    };
}

Result<TableRows> opened(const std::string& text, const TableFormat& format) {
    const auto recoder = TextRecoder::open(format.encoding);
    return open_table("a.csv", pieces_of(text), format, *recoder, "m.toml:7");
}

std::string fields_of(const CsvRow& row) {
    std::string text;
    for (std::size_t i = 0; i < row.size(); ++i) text += "[" + std::string(row.field(i)) + "]";
    return text;
}

/// "[header] 2[a][b] 3[c][d]", with the rows' lines in the file; or the error.
std::string read(const std::string& text, const TableFormat& format) {
    auto table = opened(text, format);
    if (!table) return table.error().message;
    std::string all = fields_of(table->header);
    CsvRow row;
    while (table->reader.next(row).value())
        all += " " + std::to_string(row.line()) + fields_of(row);
    return all;
}

TEST(TableRows, ThePlainTable) {
    EXPECT_EQ(read("a,b\r\n1,\"2,\n3\"\r\n4,5", {}), "[a][b] 2[1][2,\n3] 4[4][5]");
    EXPECT_EQ(read("\xEF\xBB\xBF\n\na,b\n1,2\n", {}), "[a][b] 4[1][2]");
    EXPECT_EQ(read("", {}), "m.toml:7: a.csv is empty");
    EXPECT_EQ(read("\n \n", {}), "m.toml:7: a.csv is empty");
}

TEST(TableRows, LinesBeforeTheHeaderAreCounted) {
    const std::string text = "Title \"of 1991\n\nstation;\"rain\"\n7;1,5\n";
    TableFormat format;
    format.separator = ';';
    format.skip_rows = 2;
    EXPECT_EQ(read(text, format), "[station][rain] 4[7][1,5]");
    format.skip_rows = 0;
    format.header = "station;";
    EXPECT_EQ(read(text, format), "[station][rain] 4[7][1,5]");
    format.header = "Station";
    EXPECT_EQ(read(text, format), "m.toml:7: no line of a.csv begins with \"Station\"");
    format.header.clear();
    format.skip_rows = 9;
    EXPECT_EQ(read(text, format), "m.toml:7: a.csv has only 4 lines, and the recipe skips 9");
}

TEST(TableRows, AHeaderIsComparedInItsEncoding) {
    TableFormat format;
    format.encoding = "latin1";
    format.header = "M\u00E4rz";
    EXPECT_EQ(read("x\nM\xE4rz,a\n1,2\n", format), "[M\xE4rz][a] 3[1][2]");
    format.encoding = "UTF-8";
    format.header = "\"STATION";
    EXPECT_EQ(read("x\n \"STATION\",a\n1,2\n", format), "[STATION][a] 3[1][2]");
}

TEST(TableRows, TheSeparatorOfTheHeader) {
    TableFormat format;
    format.separator = kSeparatorOfHeader;
    EXPECT_EQ(read("a|b,c|d\n1|2|3\n", format), "[a][b,c][d] 2[1][2][3]");
    EXPECT_EQ(read("a\tb\n1\t2\n", format), "[a][b] 2[1][2]");
    EXPECT_EQ(read("a,b\n1,2\n", format), "[a][b] 2[1][2]");
    EXPECT_EQ(read("a\n1\n", format), "[a] 2[1]");
}

TEST(TableRows, ColumnsOfFixedWidth) {
    TableFormat format;
    format.fixed = {{"id", 1, 4}, {"lat", 6, 11}, {"name", 13, 40}};
    const std::string text = "M001  44.10 Merrow \"Quay\", Lower\n\nM002 -44.20\r\nM003\n";
    EXPECT_EQ(read(text, format),
              "[id][lat][name] 1[M001][44.10][Merrow \"Quay\", Lower] 3[M002][-44.20][] "
              "4[M003][][]");
    format.skip_rows = 1;
    EXPECT_EQ(read("title\n" + text, format).substr(0, 21), "[id][lat][name] 2[M00");
}

}  // namespace
}  // namespace thirstline
