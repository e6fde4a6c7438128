// The folder itself: its content, that other programs accept its checksums, and that it replaces
// only its own kind, in one step.
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <filesystem>
#include <regex>
#include <set>

#include "schema/base/calendar.hpp"
#include "schema/base/sha256.hpp"
#include "tests/support/altered_files.hpp"
#include "tests/support/export_runs.hpp"
#include "tests/support/invented_region.hpp"
#include "tests/support/program_run.hpp"
#include "tests/support/published_sites.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

namespace fs = std::filesystem;

using test::builder;
using test::PublishedSite;

class PublishedFolder : public testing::Test {
  protected:
    // The database of the Merrow valley, built once.
    static const std::string& database() {
        static const TempFolder folder;
        static const std::string path = [] {
            const std::string file = folder / "merrow.sqlite";
            const auto run =
                builder({"build", THIRSTLINE_SAMPLE_INPUTS "/merrow.toml", "-o", file});
            if (run.status != 0) throw std::runtime_error(run.err);
            return file;
        }();
        return path;
    }
    void publish_once() {
        const auto outcome = test::published(database(), {site_, false, {}, {}, {}});
        ASSERT_TRUE(outcome) << outcome.error().message;
    }
    void expect_refused(const PublishOptions& options, ErrorCode code, const std::string& says) {
        const std::vector<std::string> before = test::names_in(folder_ / ".");
        const auto outcome = test::published(database(), options);
        ASSERT_FALSE(outcome);
        EXPECT_EQ(outcome.error().code, code);
        EXPECT_NE(outcome.error().message.find(says), std::string::npos) << outcome.error().message;
        EXPECT_EQ(test::names_in(folder_ / "."), before);
    }
    static std::string sha256(const std::string& bytes) {
        Sha256 hash;
        hash.add(bytes);
        return hash.hex_digest();
    }

    TempFolder folder_;
    std::string site_ = folder_ / "site";
};

TEST_F(PublishedFolder, HoldsWhatItsSumsSay) {
    publish_once();
    // Coreutils' sha256sum is the judge.
    EXPECT_TRUE(
        test::output_of("cd '" + site_ + "' && sha256sum --check --strict --quiet SHA256SUMS"));
    const std::string sums = PublishedSite(site_).text("SHA256SUMS");
    for (const std::string& name : PublishedSite(site_).names())
        EXPECT_TRUE(name == "SHA256SUMS" || sums.find("  " + name + "\n") != std::string::npos)
            << name;
}

TEST_F(PublishedFolder, NamesItsDataByTheirHashes) {
    publish_once();
    const PublishedSite site(site_);
    const std::regex hashed(
        "(?:page|reader|demand|baseline|data/(?:area|postal|map))-([0-9a-f]{16})\\.[a-z]+");
    std::set<std::string> expected{"CITATION.cff", "SHA256SUMS", "index.html", "service-worker.js"};
    int found = 0;
    for (const std::string& name : site.names()) {
        std::smatch parts;
        if (std::regex_match(name, parts, hashed)) {
            ++found;
            EXPECT_EQ(sha256(site.text(name)).substr(0, 16), parts[1].str()) << name;
        } else if (!name.starts_with("downloads/")) {
            EXPECT_TRUE(expected.erase(name) == 1 || name == "report.html") << name;
        }
    }
    EXPECT_GT(found, 8);
    EXPECT_TRUE(expected.empty()) << *expected.begin();
}

TEST_F(PublishedFolder, GivesThePageItsMetadata) {
    publish_once();
    const PublishedSite site(site_);
    const nlohmann::json& baseline = site.baseline();
    const auto whole = test::opened(database());
    EXPECT_EQ(baseline["format"], 1);
    for (const char* key : {"title", "region", "publisher", "notice", "period", "reference",
                            "site_correction", "content_sha256"})
        EXPECT_EQ(baseline[key], whole->metadata(key)) << key;
    EXPECT_EQ(baseline["sources"].size(), whole->sources()->size());
    for (const auto& list : {baseline["areas"]["files"], baseline["postal"]["files"]}) {
        EXPECT_FALSE(list.empty());
        for (const auto& [key, file] : list.items())
            EXPECT_EQ(site.text(file["name"]).size(), file["bytes"]) << key;
    }
    for (const auto& download : baseline["downloads"]) {
        const std::string bytes = site.text(download["name"]);
        EXPECT_EQ(bytes.size(), download["bytes"]);
        EXPECT_EQ(sha256(bytes), download["sha256"]) << download["name"];
        if (download["form"] == "database") {
            EXPECT_EQ(bytes, test::content_of(database()));
        }
    }
    EXPECT_EQ(baseline["downloads"].size(), 5U);
    // 44.0 … 45.2 N and 38.6 … 37.0 W less the sea in the west.
    EXPECT_EQ(baseline["box"][1], 44.0);
    EXPECT_EQ(baseline["box"][2], -37.0);
    EXPECT_EQ(baseline["box"][3], 45.2);
}

TEST_F(PublishedFolder, AndEveryExportStateTheEdition) {
    test::Region region;
    region.add_plain_grids(north_up(8.0, 51.0, 1.0, 8, 8));
    region.baseline =
        "publisher = \"Merrow \\\"Upland\\\" Water District\"\nedition = \"2026.1\"\n"
        "date = 2026-12-01\ndoi = \"https://doi.org/10.1234/merrow\"\n"
        "contact = \"normals@example.org\"\nlicence = \"CC-BY-4.0\"\n";
    region.build();
    const std::string file = region.path("out.sqlite");
    const auto outcome = test::published(file, {site_, false, {}, {}, {}});
    ASSERT_TRUE(outcome) << outcome.error().message;
    const PublishedSite site(site_);
    EXPECT_EQ(site.baseline()["edition"], "2026.1");
    const std::string report = site.text("report.html");
    for (const char* words :
         {"<dd>2026.1</dd>", "https://doi.org/10.1234/merrow", "<dd>normals@example.org</dd>"})
        EXPECT_NE(report.find(words), std::string::npos) << words;
    // PyYAML reads the file.
    const auto citation = test::output_of(
        "/usr/bin/python3 -c \"import json, sys, yaml; "
        "print(json.dumps(yaml.safe_load(open(sys.argv[1])),"
        " default=str))\" '" +
        site_ + "/CITATION.cff'");
    if (citation) {
        const auto cff = nlohmann::json::parse(*citation);
        EXPECT_EQ(cff["cff-version"], "1.2.0");
        EXPECT_EQ(cff["authors"][0]["name"], "Merrow \"Upland\" Water District");
        EXPECT_EQ(cff["authors"][0]["email"], "normals@example.org");
        EXPECT_EQ(cff["version"], "2026.1");
        EXPECT_EQ(cff["date-released"], "2026-12-01");
        EXPECT_EQ(cff["doi"], "10.1234/merrow");
        EXPECT_EQ(cff["license"], "CC-BY-4.0");
    }
    // netCDF's own program reads the attributes.
    ASSERT_TRUE(test::exported(file, "netcdf", {folder_ / "m.nc", {}, {}, {}}));
    if (const auto header = test::output_of("ncdump -h '" + folder_ / "m.nc" + "' 2>&1")) {
        for (const char* words : {":product_version = \"2026.1\"", ":date_issued = \"2026-12-01\"",
                                  ":id = \"10.1234/merrow\"", "CC-BY-4.0; sources: CC0-1.0",
                                  ":publisher_email = \"normals@example.org\""})
            EXPECT_NE(header->find(words), std::string::npos) << words;
    }
    const auto lookup =
        test::lookup({"site", "--db", file, "--at", "46.5,11.5", "--format", "json"});
    EXPECT_EQ(nlohmann::json::parse(lookup.out)["baseline"]["doi"], "10.1234/merrow");
}

TEST_F(PublishedFolder, HasTheTableAndTheRasterThatExportsGive) {
    publish_once();
    const PublishedSite site(site_);
    ASSERT_TRUE(test::exported(database(), "csv", {folder_ / "whole.csv", {}, {}, {}}));
    ASSERT_TRUE(test::exported(database(), "geotiff", {folder_ / "whole.tif", {}, {}, {}}));
    for (const auto& download : site.baseline()["downloads"]) {
        const std::string path = site_ + "/" + download["name"].get<std::string>();
        if (download["form"] == "csv") {
            // Python's zipfile reads it.
            const auto table = test::output_of(
                "python3 -c \"import sys, zipfile; z = zipfile.ZipFile(sys.argv[1]); "
                "assert z.testzip() is None; sys.stdout.buffer.write(z.read(z.namelist()[1]))\" '" +
                path + "'");
            ASSERT_TRUE(table);
            EXPECT_EQ(*table, test::content_of(folder_ / "whole.csv"));
        } else if (download["form"] == "geotiff") {
            EXPECT_EQ(test::content_of(path), test::content_of(folder_ / "whole.tif"));
        }
    }
}

TEST_F(PublishedFolder, HasTheDownloadsThatWereAskedFor) {
    const auto forms_with = [this](std::vector<std::string> words) {
        PublishOptions options{site_, true, {}, {}, {}};
        options.downloads = std::move(words);
        const auto outcome = test::published(database(), options);
        EXPECT_TRUE(outcome) << outcome.error().message;
        std::vector<std::string> forms;
        const PublishedSite site(site_);
        for (const auto& download : site.baseline()["downloads"]) {
            forms.push_back(download["form"]);
            EXPECT_TRUE(fs::exists(site_ + "/" + download["name"].get<std::string>()));
        }
        return forms;
    };
    EXPECT_EQ(forms_with({"geopackage", "netcdf"}),
              (std::vector<std::string>{"netcdf", "geopackage"}));
    ASSERT_TRUE(test::exported(database(), "netcdf", {folder_ / "m.nc", {}, {}, {}}));
    EXPECT_EQ(test::content_of(site_ + "/downloads/reference-et-and-rain-of-the-merrow.nc"),
              test::content_of(folder_ / "m.nc"));
    EXPECT_TRUE(forms_with({}).empty());
    EXPECT_NE(test::content_of(site_ + "/report.html").find("offers no downloads"),
              std::string::npos);

    const auto refused =
        builder({"publish", database(), "-o", folder_ / "b", "--downloads", "csv,excel"});
    EXPECT_EQ(refused.status, 2);
    EXPECT_NE(refused.err.find("not \"excel\""), std::string::npos) << refused.err;
    EXPECT_FALSE(std::filesystem::exists(folder_ / "b"));
}

TEST_F(PublishedFolder, HasEveryPostalCodeUnderItsPrefix) {
    publish_once();
    const PublishedSite site(site_);
    const auto whole = test::opened(database());
    std::int64_t codes = 0;
    for (const auto& [prefix, file] : site.baseline()["postal"]["files"].items()) {
        const nlohmann::json shard = site.json(file["name"]);
        for (const auto& row : shard["codes"]) {
            ++codes;
            EXPECT_TRUE(row[0].get<std::string>().starts_with(prefix));
            const auto places = whole->postal_places(row[0].get<std::string>());
            ASSERT_TRUE(places);
            ASSERT_EQ(places->size(), 1U);
            EXPECT_EQ(row,
                      nlohmann::json::array({places->front().code, places->front().country,
                                             places->front().place, places->front().position.lat_e7,
                                             places->front().position.lon_e7}));
        }
    }
    EXPECT_EQ(codes, 12);  // sample-inputs/README.md
    EXPECT_EQ(site.baseline()["postal"]["codes"], codes);
    EXPECT_EQ(site.baseline()["postal"]["countries"], nlohmann::json::array({"XM"}));
}

TEST_F(PublishedFolder, HasAMapOfTheYearsFigures) {
    publish_once();
    const PublishedSite site(site_);
    const nlohmann::json map = site.json(site.baseline()["map"]["name"]);
    const auto whole = test::opened(database());
    ASSERT_EQ(map["layers"].size(), 3U);
    ASSERT_EQ(map["layers"][0]["id"], "eto_year");
    const int columns = map["columns"];
    const std::int64_t spacing = map["spacing_arcsec"];
    EXPECT_EQ(spacing, 120);  // the valley's own: it has fewer points than a map has cells
    int points = 0;
    for (int row = 0; row < map["rows"]; ++row) {
        for (int column = 0; column < columns; ++column) {
            // The cell's middle is where the point stands.
            const auto middle_e7 = [spacing](std::int64_t edge, int cell) {
                return static_cast<std::int32_t>((2 * edge + (2 * cell + 1) * spacing) *
                                                 kE7PerDegree / 7200);
            };
            const LatLonE7 at{middle_e7(map["south_arcsec"], row),
                              middle_e7(map["west_arcsec"], column)};
            const auto answer = whole->answer(at);
            ASSERT_TRUE(answer);
            const nlohmann::json& value =
                map["layers"][0]["values"][static_cast<std::size_t>(row * columns + column)];
            if (value.is_null()) continue;
            ++points;
            double year_mm = 0.0;
            for (std::size_t month = 0; month < kMonths; ++month)
                year_mm += answer->of(LayerId::eto)[month] * kDaysInMonth[month] /
                           (100.0 * whole->layout().find(LayerId::eto)->divisor);
            // In whole millimetres; on half of one, either neighbour.
            ASSERT_NEAR(value.get<double>(), year_mm, 0.51);
        }
    }
    EXPECT_EQ(points, 1423);  // the README's count of points
    EXPECT_GE(map["outline"].size(), 1U);
    for (const auto& ring : map["outline"]) {
        for (const auto& corner : ring) ASSERT_EQ(corner.size(), 2U);
    }
}

TEST_F(PublishedFolder, IsTheSameBytesTwice) {
    publish_once();
    const std::string other = folder_ / "other";
    fs::copy_file(database(), folder_ / "renamed.sqlite");
    ASSERT_TRUE(test::published(folder_ / "renamed.sqlite", {other, false, {}, {}, {}}));
    EXPECT_TRUE(test::output_of("diff -r '" + site_ + "' '" + other + "'"));
}

TEST_F(PublishedFolder, ReplacesItsOwnKind) {
    publish_once();
    const auto before = PublishedSite(site_).names();
    test::write_text(site_ + "/index.html", "damaged");
    const auto outcome = test::published(database(), {site_ + "/", true, {}, {}, {}});
    ASSERT_TRUE(outcome) << outcome.error().message;
    EXPECT_EQ(PublishedSite(site_).names(), before);
    EXPECT_EQ(test::names_in(folder_ / "."), (std::vector<std::string>{"site"}));
}

TEST_F(PublishedFolder, ReplacesWhatALinkLeadsTo) {
    publish_once();
    fs::create_directory_symlink("site", folder_ / "link");
    test::write_text(site_ + "/index.html", "damaged");
    ASSERT_TRUE(test::published(database(), {folder_ / "link", true, {}, {}, {}}));
    EXPECT_TRUE(fs::is_symlink(folder_ / "link"));
    EXPECT_EQ(PublishedSite(site_).baseline()["format"], 1);
}

TEST_F(PublishedFolder, LeavesAloneWhatItDidNotWrite) {
    publish_once();
    expect_refused({site_, false, {}, {}, {}}, ErrorCode::usage, "already exists");
    const std::string own = folder_ / "own";
    fs::create_directory(own);
    expect_refused({own, true, {}, {}, {}}, ErrorCode::usage, "was not written by publish");
    test::write_text(own + "/SHA256SUMS", "0123  notes.txt\n");
    test::write_text(own + "/notes.txt", "mine");
    expect_refused({own, true, {}, {}, {}}, ErrorCode::usage, "was not written by publish");
    EXPECT_EQ(test::content_of(own + "/notes.txt"), "mine");
    test::write_text(folder_ / "file", "mine");
    expect_refused({folder_ / "file", true, {}, {}, {}}, ErrorCode::usage, "is not a folder");
    fs::create_symlink("nowhere", folder_ / "dangling");
    expect_refused({folder_ / "dangling", true, {}, {}, {}}, ErrorCode::usage, "is not a folder");
    expect_refused({folder_ / "none/site", false, {}, {}, {}}, ErrorCode::io, "writing");
    expect_refused({"", false, {}, {}, {}}, ErrorCode::usage, "name of a folder");
}

TEST_F(PublishedFolder, LeavesAloneAFolderIntoWhichSomethingWasPut) {
    publish_once();
    test::write_text(site_ + "/downloads/notes.txt", "mine");
    expect_refused({site_, true, {}, {}, {}}, ErrorCode::usage, "downloads/notes.txt");
    EXPECT_EQ(test::content_of(site_ + "/downloads/notes.txt"), "mine");
}

TEST_F(PublishedFolder, AFullDiskOrADamagedFileLeavesWhatWasThere) {
    const bool can_publish = builder({"publish", database(), "-o", site_}).status == 0;
    if (!can_publish) GTEST_SKIP() << "this builder has no page";
    const std::string sums = test::content_of(site_ + "/SHA256SUMS");
    // At each of these sizes another file is the first that does not fit.
    for (const std::int64_t most_bytes : {0, 3'000, 10'000, 30'000, 100'000, 300'000}) {
        test::RunOptions full;
        full.most_bytes_of_a_file = most_bytes;
        const auto run = builder({"publish", database(), "-o", site_, "--overwrite"}, full);
        EXPECT_EQ(run.status, 5) << most_bytes << run.err;
        EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    }
    const std::string damaged = folder_ / "damaged.sqlite";
    fs::copy_file(database(), damaged);
    test::run_on_file(damaged, test::kDamageOfATile);
    const auto run = builder({"publish", damaged, "-o", site_, "--overwrite"});
    EXPECT_EQ(run.status, 4);
    EXPECT_TRUE(test::is_one_sentence(run.err)) << run.err;
    EXPECT_EQ(test::names_in(folder_ / "."), (std::vector<std::string>{"damaged.sqlite", "site"}));
    EXPECT_EQ(test::content_of(site_ + "/SHA256SUMS"), sums);
    EXPECT_TRUE(test::output_of("cd '" + site_ + "' && sha256sum --check --quiet SHA256SUMS"));
}

TEST_F(PublishedFolder, AnInterruptedRunLeavesNothing) {
    const std::atomic<bool> interrupted{true};
    const auto outcome = publish(*test::opened(database()), test::small_page(),
                                 {site_, false, {}, {}, {}}, interrupted);
    ASSERT_FALSE(outcome);
    EXPECT_EQ(outcome.error().code, ErrorCode::interrupted);
    EXPECT_TRUE(test::names_in(folder_ / ".").empty());
}

}  // namespace
}  // namespace thirstline
