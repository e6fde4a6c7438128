// The views `point` and `profile` give in SQL what the decoder gives in C++.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <string>
#include <tuple>

#include "schema/database/database.hpp"
#include "schema/database/sqlite_handles.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using test::Sort;
using test::World;

class ReadableViews : public testing::TestWithParam<Sort> {
  protected:
    ReadableViews() : random_(140 + static_cast<std::uint32_t>(GetParam())) {
        world_.layout = test::layout_of(3);
        for (const int id : {1, 4095}) {
            Lattice lattice = test::random_lattice(GetParam(), id, 3, random_);
            lattice.columns = std::min(lattice.columns, 12);
            lattice.rows = std::min(lattice.rows, 12);
            world_.lattices.push_back(lattice);
            test::fill_lattice(world_, lattice, random_, 50);
        }
        const std::string path = folder_.path("a.sqlite");
        EXPECT_TRUE(test::write_world(world_, path).has_value());
        database_ = std::move(*Database::open(path));
    }

    SqliteStatement query(const char* sql) {
        auto statement = SqliteStatement::prepare(database_->connection(), sql, "querying");
        EXPECT_TRUE(statement.has_value()) << statement.error().message;
        return std::move(*statement);
    }

    test::Random random_;
    test::TemporaryFolder folder_;
    World world_;
    std::unique_ptr<Database> database_;
};

double real(const SqliteStatement& row, int column) {
    return std::stod(row.text(column));
}

TEST_P(ReadableViews, PointHasEveryPointOnce) {
    std::map<std::pair<std::int64_t, int>, LatLon> points;
    auto rows = query("SELECT tile_key, slot, lat, lon, lattice_id FROM point");
    while (*rows.step()) {
        EXPECT_EQ(rows.integer(4), lattice_id_of_key(rows.integer(0)));
        const std::pair key{rows.integer(0), static_cast<int>(rows.integer(1))};
        EXPECT_TRUE(points.emplace(key, LatLon{real(rows, 2), real(rows, 3)}).second);
    }
    std::size_t expected = 0;
    for (const Lattice& lattice : world_.lattices) {
        for (std::int32_t row = 0; row < lattice.rows; ++row) {
            for (std::int32_t column = 0; column < lattice.columns; ++column) {
                const LatticePoint point{row, column};
                if (!world_.has_data(lattice, point)) continue;
                ++expected;
                const auto found = points.find(
                    {tile_key(lattice.id, tile_of(lattice, point)), slot_in_tile(lattice, point)});
                ASSERT_NE(found, points.end());
                EXPECT_NEAR(found->second.lat_deg, position_of(lattice, point).lat_deg, 1e-9);
                EXPECT_NEAR(found->second.lon_deg, position_of(lattice, point).lon_deg, 1e-9);
            }
        }
    }
    EXPECT_EQ(points.size(), expected);
    EXPECT_GT(expected, 5U);
}

TEST_P(ReadableViews, ProfileHasTheDecodersNumbers) {
    std::map<std::tuple<int, std::int64_t, std::int64_t>, std::pair<const Lattice*, LatticePoint>>
        at;
    const auto key_of = [](int lattice_id, double lat, double lon) {
        return std::tuple{lattice_id, std::llround(lat * 3600), std::llround(lon * 3600)};
    };
    std::size_t expected = 0;
    for (const Lattice& lattice : world_.lattices) {
        for (std::int32_t row = 0; row < lattice.rows; ++row) {
            for (std::int32_t column = 0; column < lattice.columns; ++column) {
                const LatLon position = position_of(lattice, {row, column});
                at[key_of(lattice.id, position.lat_deg, position.lon_deg)] = {&lattice,
                                                                              {row, column}};
                expected += world_.has_data(lattice, {row, column}) ? 12 : 0;
            }
        }
    }
    auto rows = query(
        "SELECT lattice_id, lat, lon, month, eto_mm_per_day, rain_mm, rain_se_mm, tmax_c, tmin_c, "
        "method_code, eto_mm, eto_se_mm FROM profile");
    std::size_t seen = 0;
    while (*rows.step()) {
        ++seen;
        const auto [lattice, point] =
            at.at(key_of(static_cast<int>(rows.integer(0)), real(rows, 1), real(rows, 2)));
        ASSERT_TRUE(world_.has_data(*lattice, point));
        const Tile& tile = *world_.tile_at(*lattice, point);
        const int slot = slot_in_tile(*lattice, point);
        const int month = static_cast<int>(rows.integer(3)) - 1;
        const auto check = [&](int column, LayerId id, double divisor, double tolerance) {
            const std::int32_t value = tile.month_value(id, slot, month);
            ASSERT_EQ(rows.type(column) == SQLITE_NULL, value == kMissingValue);
            if (value == kMissingValue) return;
            EXPECT_NEAR(real(rows, column), value / divisor, tolerance);
        };
        check(4, LayerId::eto, 100, 1e-9);
        check(5, LayerId::rain, 1, 1e-9);
        check(6, LayerId::rain_se, 10, 1e-9);
        check(7, LayerId::tmax, 10, 1e-9);
        check(8, LayerId::tmin, 10, 1e-9);
        check(9, LayerId::method, 1, 0);
        const double days = kDaysInMonth[static_cast<std::size_t>(month)];
        check(10, LayerId::eto, 100 / days, 0.0501);
        check(11, LayerId::eto_se, 100 / days, 0.0501);
    }
    EXPECT_EQ(seen, expected);
}

INSTANTIATE_TEST_SUITE_P(Sorts, ReadableViews,
                         testing::Values(Sort::box, Sort::crossing, Sort::closing, Sort::whole));

}  // namespace
}  // namespace thirstline
