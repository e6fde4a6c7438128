// A plan in Spanish has no English left in it, in text, page and calendar.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <string>
#include <string_view>

#include "lookup/demand_output/demand_ics.hpp"
#include "lookup/demand_output/demand_page.hpp"
#include "lookup/demand_output/demand_text.hpp"
#include "tests/support/demand_reports.hpp"

namespace thirstline {
namespace {

constexpr TextStyle kSpanish{UnitSystem::metric, true, Language::spanish};

constexpr std::string_view kRules = R"([job]
customer = "A. Ruiz"
date = "2027-03-01"
language = "es"
[meter]
unit = "m3"
readings = [ { date = 2027-05-01, reading = 1204 }, { date = 2027-06-01, reading = 1228 } ]
[[restriction]]
from = "06-01"
to = "08-31"
allowed_days = "odd"
barred_hours = "10:00-18:00"
)";

DemandReport report_with_rules() {
    DemandReport report = test::merrow_demand(test::three_zones_of_a_strict_town() +
                                              "new_planting_from = 2027-04-01\n"
                                              "new_planting_until = 2027-05-15\n"
                                              "new_planting_minutes = 6\n" +
                                              std::string(kRules));
    // Names and texts of the file, which stay in its language.
    report.site.baseline = {};
    report.plan.zones[0].name = "prado";
    report.plan.zones[1].name = "rosas";
    report.plan.zones[2].name = "vega";
    for (ProgramPlan& program : report.plan.site.programs)
        for (std::string& zone : program.zones) zone = "prado";
    return report;
}

/// Words that are frequent in English and not Spanish. Keys of the zone file, such as
/// window_start, and values such as "soil-storage" are the same in both.
std::string english_word_in(const std::string& text) {
    static constexpr auto kEnglish = std::to_array<std::string_view>(
        {"the",   "of",     "and",     "is",      "are",   "with",   "by",    "for",
         "to",    "from",   "at",      "week",    "day",   "days",   "water", "watering",
         "zone",  "zones",  "rain",    "need",    "month", "months", "year",  "start",
         "cycle", "cycles", "program", "minutes", "soil",  "not",    "per",   "Jan",
         "Apr",   "Aug",    "Dec",     "Mon",     "Tue",   "Wed",    "Thu",   "Fri",
         "Sat",   "Sun",    "miles",   "ft",      "in",    "off"});
    std::string word;
    for (const char c : text + " ") {
        const bool is_letter = std::isalpha(static_cast<unsigned char>(c)) != 0 ||
                               static_cast<unsigned char>(c) >= 0x80 || c == '_' || c == '-';
        if (is_letter) {
            word += c;
            continue;
        }
        if (std::find(kEnglish.begin(), kEnglish.end(), word) != kEnglish.end()) return word;
        word.clear();
    }
    return {};
}

/// The text of a page: without its head, tags and class names.
std::string words_of_page(const std::string& page) {
    std::string out;
    bool is_tag = false;
    for (std::size_t at = page.find("<main>"); at < page.size(); ++at) {
        if (page[at] == '<') is_tag = true;
        if (!is_tag) out += page[at];
        if (page[at] == '>') {
            is_tag = false;
            out += ' ';
        }
    }
    return out;
}

TEST(SpanishPlan, HasNoEnglishInText) {
    const std::string text = demand_text(report_with_rules(), kSpanish, 80);
    EXPECT_EQ(english_word_in(text), "") << text;
    EXPECT_EQ(text.find('{'), std::string::npos) << text;
    for (const char* part :
         {"Precauciones", "Programación base", "Ajuste estacional por mes", "fechas impares",
          "ALGUNAS ZONAS RECIBEN MENOS AGUA DE LA QUE NECESITAN",
          "del 1 de abril de 2027 al 15 de mayo de 2027"})
        EXPECT_NE(text.find(part), std::string::npos) << part;
}

TEST(SpanishPlan, HasNoEnglishInUsUnits) {
    const DemandReport report = report_with_rules();
    const std::string text = demand_text(report, {UnitSystem::us, true, Language::spanish}, 80);
    EXPECT_EQ(english_word_in(text), "") << text;
    EXPECT_NE(text.find("pulg"), std::string::npos);
}

TEST(SpanishPlan, HasNoEnglishOnThePage) {
    const std::string page = demand_page(report_with_rules(), kSpanish);
    EXPECT_NE(page.find("<html lang=\"es\">"), std::string::npos);
    const std::string words = words_of_page(page);
    EXPECT_EQ(english_word_in(words), "") << words;
    EXPECT_EQ(words.find('{'), std::string::npos) << words;
}

TEST(SpanishPlan, HasNoEnglishInTheCalendar) {
    std::string calendar = demand_ics(report_with_rules(), 2027, Language::spanish);
    std::string words;  // of the lines that people read
    for (std::size_t at = 0; at < calendar.size();) {
        const std::size_t end = calendar.find("\r\n", at);
        const std::string line = calendar.substr(at, end - at);
        if (line.starts_with("SUMMARY:") || line.starts_with("DESCRIPTION:"))
            words += line.substr(line.find(':')) + "\n";
        at = end + 2;
    }
    EXPECT_EQ(english_word_in(words), "") << words;
    EXPECT_NE(words.find("Riego: "), std::string::npos) << words;
}

TEST(SpanishPlan, IsWrittenInAsciiWhereTheLocaleIs) {
    const std::string text =
        demand_text(report_with_rules(), {UnitSystem::metric, false, Language::spanish}, 44);
    EXPECT_TRUE(std::all_of(text.begin(), text.end(), [](char c) {
        return static_cast<unsigned char>(c) < 0x80;
    })) << text;
}

TEST(SpanishPlan, LanguageOfTheSiteFile) {
    EXPECT_EQ(report_with_rules().set.job.language, Language::spanish);
    EXPECT_EQ(test::merrow_demand(test::three_zones()).set.job.language, Language::english);
}

}  // namespace
}  // namespace thirstline
