// The program as a process: its output streams and its exit codes. The paths of the program and of
// tools such as ldd come from the build.
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/support/merrow_database.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::ordered_json;

std::string content_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream content;
    content << file.rdbuf();
    return content.str();
}

struct ProgramRun {
    int status = -1;
    std::string out;
    std::string err;
};

/// Runs a shell line in which `lookup` is the program, in the C locale.
ProgramRun shell(const std::string& line) {
    const std::string out = test::path_in_test_folder("stdout");
    const std::string err = test::path_in_test_folder("stderr");
    const std::string script =
        test::file_in_test_folder("script.sh",
                                  "unset LC_ALL LC_MEASUREMENT LC_CTYPE LANG THIRSTLINE_DB\n"
                                  "lookup() { \"" THIRSTLINE_LOOKUP_PROGRAM "\" \"$@\"; }\n" +
                                      line + "\n");
    const int status = std::system(("sh " + script + " >" + out + " 2>" + err).c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, content_of(out), content_of(err)};
}

class LookupProgram : public testing::Test {
  protected:
    static void SetUpTestSuite() { database_ = new std::string(test::merrow_database()); }
    static void TearDownTestSuite() { delete database_; }

    /// The program's command `line` on the valley's database.
    static ProgramRun lookup(const std::string& line) {
        return shell("export THIRSTLINE_DB=" + *database_ + "\nlookup " + line);
    }

    static void expect_failure(const std::string& line, int status, const std::string& says) {
        SCOPED_TRACE(line);
        const ProgramRun run = lookup(line);
        EXPECT_EQ(run.status, status) << run.err;
        EXPECT_EQ(run.out, "");
        EXPECT_TRUE(run.err.starts_with("thirstline-lookup: ")) << run.err;
        EXPECT_NE(run.err.find(says), std::string::npos) << run.err;
        const auto lines = std::count(run.err.begin(), run.err.end(), '\n');
        const bool has_hint = run.err.find("\nhint: ") != std::string::npos;
        EXPECT_EQ(lines, has_hint ? 2 : 1) << run.err;
    }

    static const std::string* database_;
};
const std::string* LookupProgram::database_ = nullptr;

TEST_F(LookupProgram, AnswersWithoutWarnings) {
    for (const char* line : {"site --at 47.25,-30.5",
                             "site --at=47.25,-30.5",
                             "site --at '47.25N 30.5W' --units us",
                             "site --postal 4021",
                             "site --postal 97401 --country MX",
                             "site --at 47.25,-30.5 --step day",
                             "site --at 47.25,-30.5 --format csv",
                             "site --at 47.25,-30.5 --elevation -5",
                             "info",
                             "info --format json",
                             "verify",
                             "--version",
                             "site --version",
                             "batch --version",
                             "info --version",
                             "verify --version",
                             "--help",
                             "site --help",
                             "batch --help",
                             "info --help",
                             "verify --help",
                             "site -h"}) {
        const ProgramRun run = lookup(line);
        EXPECT_EQ(run.status, 0) << line << run.err;
        EXPECT_EQ(run.err, "") << line;
        EXPECT_NE(run.out, "") << line;
        EXPECT_TRUE(run.out.ends_with('\n')) << line;
    }
}

TEST_F(LookupProgram, TakesTheDatabaseFromEitherPlace) {
    for (const std::string& line : {"lookup site --db " + *database_ + " --at 47.25,-30.5",
                                    "lookup --db " + *database_ + " site --at 47.25,-30.5",
                                    "THIRSTLINE_DB=/nowhere lookup verify --db " + *database_}) {
        EXPECT_EQ(shell(line).status, 0) << line;
    }
    const ProgramRun none = shell("lookup site --at 47.25,-30.5");
    EXPECT_EQ(none.status, 2);
    EXPECT_NE(none.err.find("THIRSTLINE_DB"), std::string::npos);
}

TEST_F(LookupProgram, HelpHasPurposeExamplesOptionsAndExitCodes) {
    for (const char* command : {"site", "batch", "info", "verify"}) {
        const std::string help = lookup(std::string(command) + " --help").out;
        for (const char* part : {"Examples:", "Exit codes:", "--db", "--version", "Usage:"}) {
            EXPECT_NE(help.find(part), std::string::npos) << command << " " << part;
        }
        EXPECT_NE(help.find("thirstline-lookup " + std::string(command)), std::string::npos);
    }
}

TEST_F(LookupProgram, SiteDefaultsFollowTheLocale) {
    const auto at_ford = [](const std::string& environment, const std::string& options) {
        return shell("export THIRSTLINE_DB=" + *database_ + "\n" + environment +
                     " lookup site --at 47.25,-30.5 " + options)
            .out;
    };
    EXPECT_NE(at_ford("", "").find("rain, mm/month"), std::string::npos);
    EXPECT_NE(at_ford("LANG=en_US.UTF-8", "").find("rain, in/month"), std::string::npos);
    EXPECT_NE(at_ford("LANG=en_US.UTF-8", "").find("█"), std::string::npos);
    EXPECT_NE(at_ford("LANG=C", "").find("####"), std::string::npos);
    EXPECT_NE(at_ford("LANG=en_US.UTF-8", "--units metric").find("rain, mm/month"),
              std::string::npos);
    EXPECT_NE(at_ford("LANG=en_US.UTF-8", "--format csv").find("eto_mm"), std::string::npos);
    EXPECT_NE(at_ford("", "--format csv --units us").find("eto_in"), std::string::npos);
    const std::string json = at_ford("", "--format json");
    EXPECT_EQ(at_ford("LANG=en_US.UTF-8", "--format json --units us"), json);
}

TEST_F(LookupProgram, BadUsageCostsNothingButAMessage) {
    expect_failure("", 2, "no command");
    expect_failure("sites", 2, "\"sites\"");
    expect_failure("--db x", 2, "no command");
    expect_failure("site", 2, "no site");
    expect_failure("site --at 47.25,-30.5 --postal 4021", 2, "--postal");
    expect_failure("site --at 47.25,-30.5 --country US", 2, "--country");
    expect_failure("site --at", 2, "--at");
    expect_failure("site --at 47.25,-30.5 --fast", 2, "--fast");
    expect_failure("site --at 47.25,-30.5 more", 2, "more");
    expect_failure("site 47.25,-30.5", 2, "47.25,-30.5");
    expect_failure("site --at 91,0", 2, "91,0");
    expect_failure("site --at nan,nan", 2, "nan,nan");
    expect_failure("site --at 0x10,1", 2, "0x10,1");
    expect_failure("site --at -130.5,47.25", 2, "swapped");
    expect_failure("site --at 47.25,-30.5 --elevation high", 2, "\"high\"");
    expect_failure("site --at 47.25,-30.5 --elevation nan", 2, "\"nan\"");
    // Metres taken for feet, and the other way round: both numbers are named.
    expect_failure("site --at 47.25,-30.5 --elevation 5280 --units metric", 2, "5280 m");
    expect_failure("site --at 47.25,-30.5 --elevation 9000ft", 2, "above the terrain");
    expect_failure("site --at 47.25,-30.5 --step hour", 2, "\"hour\"");
    expect_failure("site --at 47.25,-30.5 --units imperial", 2, "\"imperial\"");
    expect_failure("site --at 47.25,-30.5 --format xml", 2, "\"xml\"");
    expect_failure("site --postal 97401", 2, "MX, US");
    expect_failure("site --postal 974 --country US", 2, "00974");
    expect_failure("site --postal 4021 --country XMX", 2, "XMX");
    expect_failure("info --format csv", 2, "\"csv\"");
    expect_failure("verify --fast", 2, "--fast");
    expect_failure("batch --format json", 2, "\"json\"");
}

TEST_F(LookupProgram, NoDataIsExitOne) {
    expect_failure("site --at 0,0", 1, "no data within 40 km of 0,0");
    expect_failure("site --postal 99999 --country US", 1, "99999");
    expect_failure("site --at 0,0 --format csv", 1, "no data");
    const ProgramRun run = lookup("site --at 0,0 --elevation 12 --format json");
    EXPECT_EQ(run.status, 1);
    EXPECT_EQ(run.err, "");
    const Json json = Json::parse(run.out);
    EXPECT_EQ(json["schema_version"], 1);
    EXPECT_EQ(json["found"], false);
    EXPECT_EQ(json["query"]["elevation_m"], 12);
    EXPECT_NE(json["reason"].get<std::string>().find("40 km"), std::string::npos);
    const ProgramRun unknown = lookup("site --postal 99999 --country US --format json");
    EXPECT_EQ(unknown.status, 1);
    EXPECT_EQ(Json::parse(unknown.out)["query"]["country"], "US");
}

TEST_F(LookupProgram, BadInputIsExitThreeAndNamesFileAndLine) {
    const std::string own = test::file_in_test_folder("own.csv", "month,eto_mm\n13,1\n");
    expect_failure("site --at 47.25,-30.5 --own " + own, 3, "own.csv:2: ");
    expect_failure("batch --input " + test::file_in_test_folder("in.csv", "a,b\n1,2\n"), 3,
                   "in.csv:1: ");
    expect_failure("batch </dev/null", 3, "standard input");
}

TEST_F(LookupProgram, DamagedDatabasesAreExitFour) {
    const std::string text = test::file_in_test_folder("text.sqlite", "not a database at all\n");
    expect_failure("site --at 47.25,-30.5 --db " + text, 4, "text.sqlite");
    expect_failure("verify --db " + text, 4, "text.sqlite");
    expect_failure("info --db " + test::file_in_test_folder("empty.sqlite", ""), 4, "empty.sqlite");

    const std::string whole = content_of(*database_);
    const std::string cut =
        test::file_in_test_folder("cut.sqlite", whole.substr(0, whole.size() - 4096));
    expect_failure("site --at 47.25,-30.5 --db " + cut, 4, "cut.sqlite");
    std::string newer = whole;
    newer[60] = 0x7F;  // SQLite's user_version
    expect_failure("site --at 47.25,-30.5 --db " + test::file_in_test_folder("v.sqlite", newer), 4,
                   "v.sqlite");
}

TEST_F(LookupProgram, MissingFilesAreExitFive) {
    expect_failure("site --at 47.25,-30.5 --db /nowhere/x.sqlite", 5, "/nowhere/x.sqlite");
    expect_failure("site --at 47.25,-30.5 --own /nowhere/own.csv", 5, "/nowhere/own.csv");
    expect_failure("batch --input /nowhere/in.csv", 5, "/nowhere/in.csv");
    expect_failure("batch --input /", 5, "cannot be read");
}

TEST_F(LookupProgram, AnOutputThatCannotBeWrittenIsExitFive) {
    const std::string setup = "export THIRSTLINE_DB=" + *database_ + "\n";
    for (const char* command : {"site --at 47.25,-30.5", "info", "verify", "--version", "--help"}) {
        const ProgramRun full = shell(setup + "lookup " + command + " >/dev/full");
        EXPECT_EQ(full.status, 5) << command;
        EXPECT_NE(full.err.find("standard output"), std::string::npos) << full.err;
        const ProgramRun closed = shell(setup + "lookup " + command + " >&-");
        EXPECT_EQ(closed.status, 5) << command;
    }
    const ProgramRun rows =
        shell(setup + "(echo lat,lon; yes 47.25,-30.5 | head -n 20000) >" +
              test::path_in_test_folder("many.csv") + "\n(lookup batch --input " +
              test::path_in_test_folder("many.csv") + "; echo $? >&2) | head -n 1 >/dev/null");
    EXPECT_NE(rows.err.find("Broken pipe"), std::string::npos) << rows.err;
    EXPECT_TRUE(rows.err.ends_with("\n5\n")) << rows.err;
}

TEST_F(LookupProgram, BatchReadsStandardInput) {
    const ProgramRun run =
        shell("printf 'lat,lon\\n47.25,-30.5\\n0,0\\n' | lookup batch --db " + *database_);
    EXPECT_EQ(run.status, 1);
    EXPECT_EQ(run.err, "");
    EXPECT_EQ(std::count(run.out.begin(), run.out.end(), '\n'), 3);
    const ProgramRun dash =
        shell("printf 'lat,lon\\n47.25,-30.5\\n' | lookup batch --input - --db " + *database_);
    EXPECT_EQ(dash.status, 0);
}

TEST_F(LookupProgram, AnInterruptIsExit130) {
    const ProgramRun run = shell(
        "export THIRSTLINE_DB=" + *database_ + "\nmkfifo " + test::path_in_test_folder("pipe") +
        "\nsleep 20 >" + test::path_in_test_folder("pipe") + " & feeder=$!\n\"" +
        THIRSTLINE_LOOKUP_PROGRAM "\" batch --input " + test::path_in_test_folder("pipe") +
        " & program=$!\nsleep 0.3\nkill -INT $program\nwait $program\n"
        "status=$?\nkill $feeder\nexit $status");
    EXPECT_EQ(run.status, 130) << run.err;
}

TEST_F(LookupProgram, AFlippedByteIsAnErrorOrTheSameAnswer) {
    const std::string whole = content_of(*database_);
    const std::string right = lookup("site --at 47.4,-30.3 --format json").out;
    ASSERT_NE(right, "");
    int noticed = 0;
    for (std::size_t at = 100; at < whole.size(); at += 997) {
        std::string flipped = whole;
        flipped[at] = static_cast<char>(flipped[at] ^ 0x10);
        const std::string path = test::file_in_test_folder("flipped.sqlite", flipped);
        const ProgramRun verify = shell("lookup verify --db " + path);
        EXPECT_TRUE(verify.status == 0 || verify.status == 4) << at << verify.err;
        noticed += verify.status == 4;
        const ProgramRun site = shell("lookup site --at 47.4,-30.3 --format json --db " + path);
        ASSERT_TRUE(site.status == 0 || site.status == 4) << at << " " << site.status << site.err;
        if (verify.status == 0) {
            EXPECT_EQ(site.out, right) << at;
        }
        if (site.status == 0) {
            EXPECT_EQ(Json::parse(site.out)["months"], Json::parse(right)["months"]) << at;
        }
    }
    EXPECT_GT(noticed, 0);
}

TEST_F(LookupProgram, LinksNeitherGdalNorProj) {
    const ProgramRun run = shell("ldd \"" THIRSTLINE_LOOKUP_PROGRAM "\"");
    ASSERT_EQ(run.status, 0);
    EXPECT_NE(run.out.find("libsqlite3"), std::string::npos) << run.out;
    for (const char* library : {"gdal", "proj", "geos", "libcsv"}) {
        EXPECT_EQ(run.out.find(library), std::string::npos) << run.out;
    }
}

}  // namespace
}  // namespace thirstline
