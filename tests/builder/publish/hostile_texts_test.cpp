// Malicious texts in the data: markup, controls that change the direction of writing, bytes that
// are not UTF-8, very long names, empty names. They must all come out as plain text, as judged by
// Python's HTML parser.
#include <gtest/gtest.h>

#include "schema/database/database_writer.hpp"
#include "schema/text/html_text.hpp"
#include "schema/tile_code/tile_codec.hpp"
#include "tests/support/published_sites.hpp"
#include "tests/support/small_worlds.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;

constexpr const char* kMarkup =
    "</script></title></style><script>alert(1)</script>'\"><b onload=x>&amp;";
constexpr const char* kTurning =
    "safe\xE2\x80\xAEtxet\xE2\x81\xA6 \x01\x7F\xC2\x85\xE2\x80\xA8 end";
constexpr const char* kNoUtf8 = "\xFF\xC3(\xED\xA0\x80";

struct HostileTexts {
    std::string title, notice, name, place, code = "04101", url;
};

class HostileText : public testing::Test {
  protected:
    Result<PublishOutcome> publish_with(const HostileTexts& texts) const {
        test::Random random(3);
        test::World world;
        world.layout = test::layout_of(8);
        world.lattices.push_back(test::lattice_of(-137'000, 159'000, 600, 9, 7, 8));
        test::fill_lattice(world, world.lattices.front(), random, 90);
        auto writer = *DatabaseWriter::create(folder_.path("hostile.sqlite"), world.layout);
        Result<void> done = writer->add_lattice(world.lattices.front());
        const auto then = [&done](const Result<void>& next) {
            if (done) done = next;
        };
        std::set<std::uint16_t> codes;
        for (const auto& [key, tile] : world.tiles) {
            then(
                writer->add_tile(key, kCodecPlain, *encode_tile(kCodecPlain, world.layout, *tile)));
            for (const std::int32_t code : tile->of(LayerId::method))
                if (code != kMissingValue) codes.insert(static_cast<std::uint16_t>(code));
        }
        for (const std::uint16_t code : codes) then(writer->add_method(code));
        for (const int period : {0, 1, 2}) then(writer->add_period(period, texts.name));
        for (const char* key : {"title", "region", "publisher", "period"})
            then(writer->add_metadata(key, texts.title));
        then(writer->add_metadata("notice", texts.notice));
        then(writer->add_metadata("reference", "short"));
        then(writer->add_metadata("other_input_files", texts.name));
        then(writer->add_source({1,
                                 texts.name,
                                 texts.name,
                                 texts.name,
                                 texts.name,
                                 texts.name,
                                 texts.url,
                                 3,
                                 {{texts.name, 2}},
                                 {{texts.name, std::string(64, 'a')}}}));
        then(writer->add_station({texts.name,
                                  texts.name,
                                  {444'000'000, -377'000'000},
                                  3,
                                  texts.name,
                                  texts.name,
                                  texts.name}));
        then(
            writer->add_postal_place({"XM", texts.code, texts.place, {444'000'000, -377'000'000}}));
        if (!done) return fail(done.error());
        if (const auto finished = writer->finish(); !finished) return fail(finished.error());
        return test::published(folder_.path("hostile.sqlite"), {site(), false, {}, {}, {}});
    }
    std::string site() const { return folder_.path("site"); }

    Json page(const std::string& name) const {
        const auto parsed = test::output_of("python3 '" THIRSTLINE_TEST_FOLDER
                                            "/builder/publish/page_of_html.py' '" +
                                            site() + "/" + name + "'");
        if (!parsed) throw std::runtime_error("no page " + name);
        return Json::parse(*parsed);
    }
    /// No element, attribute or link but those that are the pages' own.
    void expect_only_own_markup() const {
        const Json report = page("report.html");
        EXPECT_FALSE(report["tags"].contains("script"));
        EXPECT_FALSE(report["tags"].contains("b"));
        EXPECT_EQ(report["tags"]["title"], 1);
        EXPECT_EQ(report["tags"]["style"], 1);
        EXPECT_EQ(report["tags"]["h1"], 1);
        for (const Json& name : report["attributes"])
            EXPECT_FALSE(name.get<std::string>().starts_with("on")) << name;
        for (const Json& link : report["links"]) {
            const auto text = link.get<std::string>();
            EXPECT_TRUE(text == "./" || text.starts_with("downloads/") ||
                        text.starts_with("https://"))
                << text;
        }
        EXPECT_EQ(page("index.html")["tags"]["script"], 1);
        EXPECT_EQ(page("index.html")["tags"]["title"], 1);
    }

    test::TemporaryFolder folder_;
};

TEST_F(HostileText, MarkupIsText) {
    const auto outcome =
        publish_with({kMarkup, kMarkup, kMarkup, kMarkup, "<B>", "javascript:alert(1)"});
    ASSERT_TRUE(outcome) << outcome.error().message;
    expect_only_own_markup();
    EXPECT_NE(page("report.html")["text"].get<std::string>().find(kMarkup), std::string::npos);
    EXPECT_NE(page("report.html")["text"].get<std::string>().find("javascript:alert(1)"),
              std::string::npos);
    const test::PublishedSite published(site());
    EXPECT_EQ(published.baseline()["title"], kMarkup);
    EXPECT_EQ(published.baseline()["notice"], kMarkup);
    EXPECT_EQ(published.baseline()["sources"][0]["licence"], kMarkup);
    const Json shard = published.json(published.baseline()["postal"]["files"]["<"]["name"]);
    EXPECT_EQ(shard["codes"][0][2], kMarkup);
    for (const auto& download : published.baseline()["downloads"]) {
        const auto name = download["name"].get<std::string>();
        EXPECT_EQ(name.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-./"),
                  std::string::npos)
            << name;
    }
}

TEST_F(HostileText, ControlsAndForeignBytesAreReplaced) {
    const auto outcome = publish_with(
        {kTurning, kTurning, std::string(kTurning) + kNoUtf8, kTurning, "04101", kNoUtf8});
    ASSERT_TRUE(outcome) << outcome.error().message;
    expect_only_own_markup();
    const test::PublishedSite published(site());
    // U+FFFD for what turns the direction, blanks for controls and separators.
    EXPECT_EQ(published.baseline()["title"], "safe\xEF\xBF\xBDtxet\xEF\xBF\xBD      end");
    for (const std::string& name : published.names()) {
        if (!name.ends_with(".html") && !name.ends_with(".json") && !name.ends_with("stations.csv"))
            continue;
        const std::string text = published.text(name);
        for (const char* control : {"\xE2\x80\xAE", "\xE2\x81\xA6", "\x01", "\x7F", "\xFF"})
            EXPECT_EQ(text.find(control), std::string::npos) << name;
    }
}

TEST_F(HostileText, NothingAtAllMakesAPageWithoutAnEmptyBox) {
    const auto outcome = publish_with({"", "", "", "", "04101", ""});
    ASSERT_TRUE(outcome) << outcome.error().message;
    expect_only_own_markup();
    const test::PublishedSite published(site());
    EXPECT_EQ(published.baseline()["title"], "");
    EXPECT_EQ(published.text("report.html").find("class=\"notice\""), std::string::npos);
    EXPECT_NE(published.text("report.html").find("<h1>Reference evapotranspiration and rain</h1>"),
              std::string::npos);
}

TEST_F(HostileText, NamesWithoutEndFit) {
    const std::string endless(300'000, 'x');
    const auto outcome =
        publish_with({endless, endless, endless, endless, "04101", "https://" + endless});
    ASSERT_TRUE(outcome) << outcome.error().message;
    expect_only_own_markup();
    const test::PublishedSite published(site());
    for (const auto& download : published.baseline()["downloads"])
        EXPECT_LT(download["name"].get<std::string>().size(), 80U);
}

TEST(PlainText, KeepsWhatPeopleWrite) {
    for (const char* text : {"Merrow", "Żółta Łąka", "東京", "بغداد",
                             "a\xE2\x80\x8F"
                             "b",
                             "ﬀ – “quoted”", "💧"})
        EXPECT_EQ(plain_text(text), text);
    EXPECT_EQ(plain_text("two\nlines\tand\rmore"), "two lines and more");
    EXPECT_EQ(escaped("a<b>&\"'"), "a&lt;b&gt;&amp;&quot;&#39;");
}

}  // namespace
}  // namespace thirstline
