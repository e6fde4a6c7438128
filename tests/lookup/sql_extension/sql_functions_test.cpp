// The SQL functions without SQLite's interface: what they answer, and that a damaged file gives an
// Error or the same rows.
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <vector>

#include "lookup/sql_extension/info_function.hpp"
#include "lookup/sql_extension/points_function.hpp"
#include "lookup/sql_extension/site_functions.hpp"
#include "lookup/sql_extension/sql_arguments.hpp"
#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

using Row = std::vector<SqlValue>;

/// All rows of a call, or its Error.
Result<std::vector<Row>> rows_of(const SqlFunction& function, std::vector<SqlValue> arguments,
                                 std::vector<SqlBound> bounds = {}) {
    arguments.resize(function.arguments.size());
    auto rows = function.rows({std::move(arguments), std::move(bounds)});
    if (!rows) return fail(rows.error());
    std::vector<Row> all;
    while (true) {
        const auto more = (*rows)->next();
        if (!more) return fail(more.error());
        if (!*more) return all;
        Row row;
        for (std::size_t column = 0; column < function.columns.size() + function.arguments.size();
             ++column)
            row.push_back((*rows)->value(column));
        all.push_back(std::move(row));
    }
}

std::size_t column_of(const SqlFunction& function, std::string_view name) {
    for (std::size_t i = 0; i < function.columns.size(); ++i)
        if (name == function.columns[i].name) return i;
    ADD_FAILURE() << name;
    return 0;
}

std::string content_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

struct AllFunctions {
    std::shared_ptr<FilesOfConnection> files = std::make_shared<FilesOfConnection>();
    SqlFunction site = site_function(files);
    SqlFunction postal = postal_function(files);
    SqlFunction points = points_function(files);
    SqlFunction info = info_function(files);
};

TEST(SqlFunctions, AnswerFromTheFile) {
    const AllFunctions functions;
    const std::string path = test::merrow_database();
    const auto site = rows_of(functions.site, {path, 47.0, -31.0});
    ASSERT_TRUE(site) << site.error().message;
    ASSERT_EQ(site->size(), 12U);
    // The point of row 0 and column 0: see merrow_database.hpp.
    const std::size_t eto = column_of(functions.site, "eto_mm_per_day");
    const std::size_t rain = column_of(functions.site, "rain_mm");
    for (std::size_t m = 0; m < 12; ++m) {
        EXPECT_EQ((*site)[m][eto], SqlValue(test::kEtoOfMonth[m] / 100.0));
        EXPECT_EQ((*site)[m][rain], SqlValue(1.0 * test::kRainOfMonth[m]));
    }
    const auto points = rows_of(functions.points, {path});
    ASSERT_TRUE(points) << points.error().message;
    EXPECT_EQ(points->size(), 24U * 12);  // the north-eastern point has no data
    const auto info = rows_of(functions.info, {path});
    ASSERT_TRUE(info) << info.error().message;
    EXPECT_EQ(info->size(), 1U);
}

TEST(SqlFunctions, NarrowPointsByConditionsOnTheirColumns) {
    const AllFunctions functions;
    const std::string path = test::merrow_database();
    const auto lat = static_cast<int>(column_of(functions.points, "lat"));
    const auto lon = static_cast<int>(column_of(functions.points, "lon"));
    const auto south = rows_of(functions.points, {path}, {{lat, SqlBound::Kind::at_most, 47.1}});
    EXPECT_EQ(south->size(), 5U * 12);
    const auto one =
        rows_of(functions.points, {path},
                {{lat, SqlBound::Kind::equal, 47.25}, {lon, SqlBound::Kind::equal, -30.5}});
    EXPECT_EQ(one->size(), 12U);
    const auto box = rows_of(functions.points, {path, -30.8, 47.2, -30.2, 47.6});
    EXPECT_EQ(box->size(), 3U * 2 * 12);
    const auto around_the_world = rows_of(functions.points, {path, -30.2, 47.2, -30.8, 47.6});
    EXPECT_EQ(around_the_world->size(), 2U * 2 * 12);
    // A condition that compares with a text is left to SQLite.
    const auto text =
        rows_of(functions.points, {path}, {{lat, SqlBound::Kind::at_most, std::string("south")}});
    EXPECT_EQ(text->size(), 24U * 12);
}

TEST(SqlFunctions, RejectInvalidArguments) {
    const AllFunctions functions;
    const std::string path = test::merrow_database();
    for (const std::vector<SqlValue>& arguments :
         std::vector<std::vector<SqlValue>>{{path, 91.0, 0.0},
                                            {path, std::string("here"), 0.0},
                                            {path, 47.0, -31.0, 10'001.0},
                                            {path, 47.0, -31.0, 9'000.0},
                                            {SqlValue(), 47.0, -31.0},
                                            {std::string("a\0b", 3), 47.0, -31.0}}) {
        const auto rows = rows_of(functions.site, arguments);
        ASSERT_FALSE(rows);
        EXPECT_EQ(rows.error().code, ErrorCode::usage) << rows.error().message;
    }
    EXPECT_FALSE(rows_of(functions.postal, {path, std::int64_t{4021}}));
    EXPECT_FALSE(rows_of(functions.points, {path, 1.0, 2.0, 3.0}));
    EXPECT_TRUE(rows_of(functions.site, {path, SqlValue(), -31.0})->empty());
    EXPECT_TRUE(rows_of(functions.site, {path, 0.0, 0.0})->empty());
}

TEST(SqlFunctions, ADamagedFileGivesAnErrorOrTheSameRows) {
    const std::string whole = content_of(test::merrow_database());
    const std::string path = test::path_in_test_folder("damaged-for-sql.sqlite");
    const auto answers = [&path](const std::string& content) {
        std::ofstream(path, std::ios::binary | std::ios::trunc) << content;
        const AllFunctions functions;
        return std::vector{rows_of(functions.site, {path, 47.3, -30.6}),
                           rows_of(functions.postal, {path, std::string("97401")}),
                           rows_of(functions.points, {path})};
    };
    const auto expected = answers(whole);
    std::mt19937 random(25);  // NOLINT: the same in each run
    int refused = 0;
    for (int round = 0; round < 150; ++round) {
        std::string content = whole;
        for (int i = 0; i < 1 + round % 3; ++i)
            content[random() % content.size()] ^= static_cast<char>(1U << random() % 8);
        if (round % 10 == 0) content.resize(random() % content.size());
        const auto damaged = answers(content);
        for (std::size_t i = 0; i < expected.size(); ++i) {
            if (damaged[i])
                EXPECT_EQ(*damaged[i], *expected[i]) << round;
            else
                ++refused;
        }
    }
    EXPECT_GT(refused, 50);
}

}  // namespace
}  // namespace thirstline
