#include "lookup/texts/phrase.hpp"

#include <gtest/gtest.h>

namespace thirstline {
namespace {

constexpr TextStyle kSpanishMetric{UnitSystem::metric, true, Language::spanish};

TEST(Phrase, PutsTheReadersUnitsFirst) {
    const Phrase depth =
        Phrase::in_both_units(Phrase::joined({std::string("6.5"), "unit.mm"_text}, " "),
                              Phrase::joined({std::string("0.26"), "unit.in"_text}, " "));
    EXPECT_EQ(english(depth), "6.5 mm (0.26 in)");
    EXPECT_EQ(rendered(depth, {UnitSystem::us}), "0.26 in (6.5 mm)");
    EXPECT_EQ(rendered(depth, {UnitSystem::us, true, Language::spanish}), "0.26 pulg (6.5 mm)");
}

TEST(Phrase, PutsArgumentsWhereTheLanguageWantsThem) {
    const Phrase date{
        "date.whole"_text,
        {{"day", std::string("3")}, {"month", month_in_full(4)}, {"year", std::string("2027")}}};
    EXPECT_EQ(english(date), "May 3, 2027");
    EXPECT_EQ(rendered(date, kSpanishMetric), "3 de mayo de 2027");
}

TEST(Phrase, KeepsBracesOfNames) {
    const Phrase zone{"calendar.zone_off"_text, {{"zone", std::string("{month} bed")}}};
    EXPECT_EQ(english(zone), "{month} bed: off");
}

TEST(Phrase, JoinsWordsAsTheLanguageDoes) {
    EXPECT_EQ(joined_with_and({"a", "b", "c"}, Language::english), "a, b and c");
    EXPECT_EQ(joined_with_and({"rosas", "césped"}, Language::spanish), "rosas y césped");
    EXPECT_EQ(joined_with_and({"rosas", "islas"}, Language::spanish), "rosas e islas");
    EXPECT_EQ(joined_with_and({"rosas", "hiedra"}, Language::spanish), "rosas y hiedra");
    EXPECT_EQ(joined_with_and({}, Language::english), "");
}

TEST(Phrase, ListsMonthsInFullInSpanish) {
    const Phrase months = months_phrase([](std::size_t month) { return month == 0 || month == 2; });
    EXPECT_EQ(english(months), "Jan and Mar");
    EXPECT_EQ(rendered(months, kSpanishMetric), "enero y marzo");
    EXPECT_TRUE(months_phrase([](std::size_t) { return false; }).empty());
}

TEST(Phrase, IsWrittenInAsciiWhereTheLocaleIs) {
    EXPECT_EQ(in_ascii("3 × 8 m² at 5 °C ± 1", Language::english), "3 x 8 m2 at 5 C +- 1");
    EXPECT_EQ(in_ascii("señal: año, lámina", Language::spanish), "senial: anio, lamina");
    // Names in an English plan stay as they were given.
    EXPECT_EQ(in_ascii("Ana Pérez", Language::english), "Ana Pérez");
}

}  // namespace
}  // namespace thirstline
