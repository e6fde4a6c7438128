// The output of a build: progress, the report and the summary.
#include <gtest/gtest.h>

#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "schema/base/version.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using test::builder;
using test::content_of;
using test::plain;
using test::plain_climate;
using test::ProgramRun;
using test::Region;

class BuildReport : public testing::Test {
  protected:
    BuildReport() {
        const RasterShape shape = north_up(8.0, 51.0, 1.0, 8, 8);
        using enum Variable;
        for (const Variable variable : {tmax, tmin, vapour_pressure, radiation, rain})
            region_.add_grid(variable, shape, plain(variable));
        region_.add_grid(wind, shape, [](LatLon at, int month) {
            return at == LatLon{46.5, 13.5} ? -1.0 : plain_climate(Variable::wind, at, month);
        });
        test::write_text(region_.path("postal.csv"), "zip,lat,lon\nA1,46.0,11.0\nA2,99,12.0\n");
        region_.rest =
            "[[postal]]\ncountry = \"XM\"\npath = \"postal.csv\"\nlayout = \"csv\"\n"
            "columns = { code = \"zip\", lat = \"lat\", lon = \"lon\" }\n";
    }
    ProgramRun build(std::vector<std::string> more) {
        std::vector<std::string> arguments{"build", region_.write_recipe(), "-o",
                                           region_.path("out.sqlite"), "--overwrite"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return builder(arguments);
    }
    Region region_;
};

TEST_F(BuildReport, PrintsNothingOnSuccess) {
    for (const char* progress : {"auto", "never"}) {
        const ProgramRun run = build({"--progress", progress});
        EXPECT_EQ(run.status, 0);
        EXPECT_EQ(run.out, "");
        EXPECT_EQ(run.err, "");  // no terminal, no report
    }
}

TEST_F(BuildReport, HoldsCountsStagesAndSize) {
    const ProgramRun run = build({"--report", region_.path("report.json")});
    ASSERT_EQ(run.status, 0) << run.err;
    const std::string text = content_of(region_.path("report.json"));
    EXPECT_TRUE(text.ends_with("}\n"));
    const Json report = Json::parse(text);
    EXPECT_EQ(report["schema_version"], 1);
    EXPECT_EQ(report["title"], "The Merrow valley");
    EXPECT_EQ(report["builder_version"], kProgramVersion);
    EXPECT_EQ(report["lattice_points"], 49);
    EXPECT_EQ(report["points"], 49);
    EXPECT_EQ(report["incomplete_points"], 0);
    EXPECT_EQ(report["points_without_rain"], 0);

    std::map<std::string, std::int64_t> points;
    for (const Json& each : report["points_by_method"]) {
        EXPECT_EQ(each["method"], "penman-monteith");
        EXPECT_EQ(each["site_correction"], "reference");
        points[each["method_note"]] = each["points"];
    }
    ASSERT_EQ(points.size(), 2U);
    EXPECT_GT(points.at(""), 0);
    std::int64_t sum = 0;
    for (const auto& [note, count] : points) sum += count;
    EXPECT_EQ(sum, 49);

    ASSERT_EQ(report["sources"].size(), 7U);
    const Json& wind = report["sources"][5];
    EXPECT_EQ(wind["name"], "wind of the Merrow");
    EXPECT_EQ(wind["variable"], "wind");
    EXPECT_EQ(wind["rejected"]["negative wind"], 12);
    EXPECT_EQ(wind["used"], points.at("") * 12);
    EXPECT_EQ(wind["examples"].size(), 12U);
    EXPECT_EQ(wind["examples"][0]["lat"], 46.5);
    EXPECT_EQ(wind["examples"][0]["month"], 1);
    EXPECT_EQ(report["sources"][6]["rejected"]["position is impossible"], 1);
    EXPECT_EQ(report["postal"]["rows_read"], 2);
    EXPECT_EQ(report["postal"]["codes"], 1);
    EXPECT_TRUE(report["warnings"].empty());

    std::vector<std::string> stages;
    for (const Json& stage : report["stages"]) {
        stages.push_back(stage["stage"]);
        EXPECT_GE(stage["seconds"], 0.0);
        EXPECT_LT(stage["seconds"], 60.0);
        EXPECT_GT(stage["peak_memory_mb"], 5.0);
        EXPECT_LT(stage["peak_memory_mb"], 2000.0);
    }
    EXPECT_EQ(stages,
              (std::vector<std::string>{"open the sources", "read postal codes", "survey",
                                        "fuse stations", "build points", "write the file"}));
    const auto bytes =
        static_cast<std::int64_t>(std::filesystem::file_size(region_.path("out.sqlite")));
    EXPECT_EQ(report["file"]["bytes"], bytes);
    EXPECT_DOUBLE_EQ(report["file"]["bytes_per_point"], static_cast<double>(bytes) / 49.0);

    // The summary is on standard error, in words.
    EXPECT_EQ(run.out, "");
    for (const char* part : {"49 of 49 lattice points have data\n", "penman-monteith",
                             "wind of the Merrow: 12 rejected: negative wind", "1 postal code\n",
                             " per point", "MB of memory"}) {
        EXPECT_NE(run.err.find(part), std::string::npos) << run.err;
    }
}

TEST_F(BuildReport, ProgressAsJsonCountsUpwards) {
    const ProgramRun run = build({"--progress", "json"});
    ASSERT_EQ(run.status, 0);
    std::istringstream lines(run.err);
    std::map<std::string, std::int64_t> done;
    std::map<std::string, std::int64_t> total;
    std::vector<std::string> order;
    for (std::string line; std::getline(lines, line);) {
        const Json json = Json::parse(line);
        const std::string stage = json["stage"];
        if (!total.contains(stage)) {
            order.push_back(stage);
            total[stage] = json["total"];
            EXPECT_EQ(json["done"], 0) << line;
        }
        EXPECT_EQ(json["total"], total[stage]) << line;
        EXPECT_GE(json["done"], done[stage]) << line;
        done[stage] = json["done"];
    }
    EXPECT_EQ(order.size(), 6U);
    EXPECT_EQ(done, total);
}

TEST_F(BuildReport, ProgressOnOneLineIsErased) {
    const ProgramRun run = build({"--progress", "always"});
    EXPECT_EQ(run.status, 0);
    EXPECT_NE(run.err.find("build points: 100%"), std::string::npos) << run.err;
    EXPECT_TRUE(run.err.ends_with("\r\033[K")) << run.err;
    EXPECT_EQ(run.err.find('\n'), std::string::npos);
}

}  // namespace
}  // namespace thirstline
