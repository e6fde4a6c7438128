#include "lookup/site_output/site_table.hpp"

#include <algorithm>
#include <array>
#include <utility>
#include <vector>

#include "lookup/texts/text_table.hpp"
#include "schema/text/rounding.hpp"
#include "schema/text/text_columns.hpp"
#include "schema/text/text_wrapping.hpp"

namespace thirstline {
namespace {

constexpr std::size_t kLongestBar = 16;
constexpr std::size_t kShortestBar = 7;  // the length of its heading

std::string depth_cell(const std::optional<double>& mm, const TextStyle& style) {
    return mm ? depth_text(*mm, style) : "-";
}

/// With one decimal less, so that the year's value does not widen the column.
std::string year_cell(const std::optional<double>& mm, const TextStyle& style) {
    return mm ? depth_text(*mm, style, -1) : "-";
}

std::string error_cell(const std::optional<double>& se_mm, bool is_own, const TextStyle& style) {
    if (is_own) return "own";
    return se_mm ? (style.utf8 ? "±" : "+-") + depth_text(*se_mm, style) : "";
}

bool holds_own(const SiteProfile& profile) {
    return std::any_of(profile.months.begin(), profile.months.end(), [](const MonthProfile& month) {
        return month.eto_is_own || month.rain_is_own;
    });
}

std::vector<TextColumn> value_columns(const SiteReport& report, const TextStyle& style) {
    const SiteProfile& profile = report.profile;
    const std::string plus_minus = style.utf8 ? "±" : "+-";
    TextColumn eto{eto_label(report.baseline), {}};
    TextColumn eto_error{plus_minus, {}};
    TextColumn rain{"Rain", {}};
    TextColumn rain_error{plus_minus, {}};
    for (const MonthProfile& month : profile.months) {
        eto.cells.push_back(depth_cell(month.eto_mm, style));
        eto_error.cells.push_back(error_cell(month.eto_se_mm, month.eto_is_own, style));
        rain.cells.push_back(depth_cell(month.rain_mm, style));
        rain_error.cells.push_back(error_cell(month.rain_se_mm, month.rain_is_own, style));
    }
    eto.cells.push_back(year_cell(profile.annual_eto_mm, style));
    rain.cells.push_back(year_cell(profile.annual_rain_mm, style));
    eto_error.cells.emplace_back();
    rain_error.cells.emplace_back();
    if (!has_standard_errors(profile) && !holds_own(profile)) {
        return {std::move(eto), std::move(rain)};
    }
    return {std::move(eto), std::move(eto_error), std::move(rain), std::move(rain_error)};
}

TextColumn percent_column(const SiteProfile& profile) {
    TextColumn percent{"%", {}};
    for (const MonthProfile& month : profile.months)
        percent.cells.push_back(month.percent_of_peak ? fixed(*month.percent_of_peak, 0) : "-");
    percent.cells.emplace_back();
    return percent;
}

std::string without_trailing_blanks(std::string line) {
    line.erase(line.find_last_not_of(' ') + 1);
    return line;
}

}  // namespace

std::string depth_unit(const TextStyle& style) {
    return std::string(
        text_of(style.units == UnitSystem::us ? "unit.in"_text : "unit.mm"_text, style.language));
}

std::string depth_text(double mm, const TextStyle& style, int extra_decimals) {
    return style.units == UnitSystem::us ? fixed(inches(mm), 2 + extra_decimals)
                                         : fixed(mm, 1 + extra_decimals);
}

std::string eto_label(const Baseline& baseline) {
    return baseline.reference == "tall" ? "ETr" : "ETo";
}

bool has_standard_errors(const SiteProfile& profile) {
    return std::any_of(profile.months.begin(), profile.months.end(), [](const MonthProfile& month) {
        return month.eto_se_mm.has_value() || month.rain_se_mm.has_value();
    });
}

std::string month_table(const SiteReport& report, const TextStyle& style) {
    const std::vector<TextColumn> values = value_columns(report, style);
    const TextColumn percent = percent_column(report.profile);
    // Two blanks before a value, one before its error, to group them. The first one follows "Year",
    // which is one column wider than a month.
    const auto gap_before = [&values](std::size_t column) {
        const bool is_error = values.size() == 4 && column % 2 == 1;
        return std::string(column == 0 || is_error ? 1 : 2, ' ');
    };
    std::size_t used = 4 + 2 + percent.width() + 1;
    for (std::size_t c = 0; c < values.size(); ++c)
        used += gap_before(c).size() + values[c].width();
    const std::size_t bar_columns =
        std::clamp(kTextColumns - std::min(used, kTextColumns), kShortestBar, kLongestBar);

    const auto line_start = [&](std::string_view name, const auto& text_of_column) {
        std::string line = left_aligned(name, 4);
        for (std::size_t c = 0; c < values.size(); ++c)
            line += gap_before(c) + right_aligned(text_of_column(values[c]), values[c].width());
        return line + "  " + right_aligned(text_of_column(percent), percent.width()) + " ";
    };
    std::string out =
        line_start("", [](const TextColumn& column) { return column.heading; }) + "of peak\n";
    for (std::size_t m = 0; m < kMonths; ++m) {
        const double share = report.profile.months[m].percent_of_peak.value_or(0.0) / 100.0;
        out += without_trailing_blanks(
                   line_start(kMonthAbbreviations[m],
                              [m](const TextColumn& column) { return column.cells[m]; }) +
                   bar(share, bar_columns, style.utf8)) +
               "\n";
    }
    return out +
           without_trailing_blanks(
               line_start("Year", [](const TextColumn& column) { return column.cells[kMonths]; })) +
           "\n";
}

std::string step_table(const SiteReport& report, const TextStyle& style) {
    if (report.steps.empty()) return {};
    const bool by_days = report.steps.size() > 60;
    TextColumn eto{eto_label(report.baseline), {}};
    TextColumn rain{"Rain", {}};
    const int extra_decimals = by_days ? 1 : 0;
    for (const SiteStep& step : report.steps) {
        eto.cells.push_back(step.eto_mm ? depth_text(*step.eto_mm, style, extra_decimals) : "-");
        rain.cells.push_back(step.rain_mm ? depth_text(*step.rain_mm, style, extra_decimals) : "-");
    }
    const std::string heading = by_days ? "Day" : "Week from";
    std::string out = left_aligned(heading, 9) + "  " + right_aligned(eto.heading, eto.width()) +
                      "  " + right_aligned(rain.heading, rain.width()) + "\n";
    for (std::size_t i = 0; i < report.steps.size(); ++i) {
        const SiteStep& step = report.steps[i];
        const std::string start = right_aligned(std::to_string(step.day), 2) + " " +
                                  std::string(kMonthAbbreviations[step.month - 1]);
        out += left_aligned(start, 9) + "  " + right_aligned(eto.cells[i], eto.width()) + "  " +
               right_aligned(rain.cells[i], rain.width()) + "\n";
    }
    return out;
}

}  // namespace thirstline
