#include "lookup/demand_output/demand_tables.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "lookup/demand_output/demand_sentences.hpp"
#include "lookup/demand_output/demand_text.hpp"
#include "lookup/demand_output/month_cells.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/site_output/site_table.hpp"
#include "schema/base/words.hpp"
#include "schema/text/text_columns.hpp"
#include "schema/text/text_wrapping.hpp"

namespace thirstline {
namespace {

constexpr std::size_t kMonthsInNarrowRow = 6;
constexpr std::size_t kLabelColumns = 14;

/// The text, or its beginning with a full stop where it was cut.
std::string shortened(const std::string& text, std::size_t columns) {
    if (columns_of(text) <= columns) return text;
    std::string out;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at + 1;
        while (end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) ++end;
        if (columns_of(out) + 1 == columns) break;
        out += text.substr(at, end - at);
        at = end;
    }
    return out + ".";
}

/// A few months of the curve.
std::string curve_rows(const DemandReport& report, const TextStyle& style, std::size_t first,
                       std::size_t count) {
    const ControllerCurve& curve = report.plan.site.curve;
    std::vector<TextColumn> months(count);
    TextColumn labels{"", {left_aligned("Enter, %", kLabelColumns)}};
    for (std::size_t i = 0; i < count; ++i) {
        months[i].heading = kMonthAbbreviations[first + i];
        months[i].cells.push_back(std::to_string(curve.percent_to_enter[first + i]) +
                                  (curve.days_cut_first[first + i] ? "*" : ""));
    }
    for (std::size_t z = 0; z < report.plan.zones.size(); ++z) {
        const auto& too_much = curve.too_much_mm[z];
        if (is_negligible_depth(*std::max_element(too_much.begin(), too_much.end()), style))
            continue;
        labels.cells.push_back(
            shortened("+" + depth_unit(style) + " " + report.plan.zones[z].name, kLabelColumns));
        for (std::size_t i = 0; i < count; ++i) {
            const double mm = too_much[first + i];
            months[i].cells.push_back(is_negligible_depth(mm, style) ? "."
                                                                     : depth_text(mm, style, -1));
        }
    }
    return text_table(labels, months, 1);
}

}  // namespace

std::string curve_table(const DemandReport& report, const TextStyle& style, std::size_t columns) {
    if (columns >= kWideColumns) return curve_rows(report, style, 0, kMonths);
    return curve_rows(report, style, 0, kMonthsInNarrowRow) +
           curve_rows(report, style, kMonthsInNarrowRow, kMonthsInNarrowRow);
}

std::string zone_table(const ZonePlan& zone, const DemandReport& report, const TextStyle& style,
                       std::size_t columns) {
    const bool is_wide = columns >= kWideColumns;
    TextColumn labels{depth_unit(style), {}};
    TextColumn need{"Need", {}};
    TextColumn rain{"Rain", {}};
    TextColumn net{"Net", {}};
    TextColumn gross{"Gross", {}};
    TextColumn percent{"%", {}};
    TextColumn days{is_wide ? "Days/wk" : "Days", {}};
    TextColumn runs{"Runs a day", {}};
    TextColumn minutes{"Min/wk", {}};
    TextColumn water{std::string(volume_unit(style)), {}};
    TextColumn cost{"Cost", {}};
    for (std::size_t m = 0; m < kMonths; ++m) {
        MonthCells cells = month_cells(zone.months[m], zone, report, style);
        labels.cells.emplace_back(kMonthAbbreviations[m]);
        need.cells.push_back(std::move(cells.need));
        rain.cells.push_back(std::move(cells.rain));
        net.cells.push_back(std::move(cells.net));
        gross.cells.push_back(std::move(cells.gross));
        percent.cells.push_back(std::move(cells.percent));
        days.cells.push_back(std::move(cells.days));
        runs.cells.push_back(std::move(cells.runs));
        minutes.cells.push_back(std::move(cells.minutes_week));
        water.cells.push_back(std::move(cells.water));
        cost.cells.push_back(std::move(cells.cost));
    }
    std::vector<TextColumn> shown{std::move(need), std::move(rain), std::move(net)};
    if (is_wide) shown.push_back(std::move(gross));
    shown.push_back(std::move(percent));
    shown.push_back(std::move(days));
    shown.push_back(std::move(is_wide ? runs : minutes));
    if (is_wide) shown.push_back(std::move(water));
    if (is_wide && zone.cost) shown.push_back(std::move(cost));
    std::string out = text_table(labels, shown, is_wide ? 2 : 1);
    if (const std::string dormant = dormant_months_text(zone); !is_wide && !dormant.empty()) {
        out += wrapped("Dormant: " + dormant, columns);
    }
    return out;
}

std::string year_table(const DemandReport& report, const TextStyle& style, std::size_t columns) {
    if (columns < kWideColumns) {
        std::string lines;
        for (const YearFigure& figure : year_figures(report, style)) {
            lines += wrapped(figure.what, columns);
            lines += wrapped(figure.water + (figure.cost.empty() ? "" : "; " + figure.cost),
                             columns, "  ", "  ");
        }
        return lines;
    }
    TextColumn labels;
    TextColumn water;
    TextColumn cost;
    for (YearFigure& figure : year_figures(report, style)) {
        labels.cells.push_back(std::move(figure.what));
        water.cells.push_back(std::move(figure.water));
        cost.cells.push_back(std::move(figure.cost));
    }
    std::string table = text_table(labels, {std::move(water), std::move(cost)}, 1);
    return table.substr(table.find('\n') + 1);  // these columns have no headings
}

std::string dormant_months_text(const ZonePlan& zone) {
    return months_where([&zone](std::size_t month) { return zone.months[month].dormant; });
}

}  // namespace thirstline
