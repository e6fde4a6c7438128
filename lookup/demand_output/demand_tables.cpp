#include "lookup/demand_output/demand_tables.hpp"

#include <algorithm>
#include <utility>
#include <vector>

#include "lookup/demand_output/demand_sentences.hpp"
#include "lookup/demand_output/demand_text.hpp"
#include "lookup/demand_output/month_cells.hpp"
#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/site_output/site_table.hpp"
#include "lookup/texts/phrase.hpp"
#include "schema/text/text_columns.hpp"
#include "schema/text/text_wrapping.hpp"

namespace thirstline {
namespace {

constexpr std::size_t kMonthsInNarrowRow = 6;
constexpr std::size_t kLabelColumns = 12;
constexpr std::size_t kExcessColumns = 28;
constexpr std::size_t kNarrowExcessColumns = 18;

/// The text, or its beginning with a period if it was cut.
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

Phrase program_label(const ProgramPlan& program) {
    return {"program.column"_text, {{"number", std::to_string(program.number)}}};
}

/// "Jan, Dec"
Phrase dormant_months(const ZonePlan& zone) {
    return months_phrase([&zone](std::size_t month) { return zone.months[month].dormant; });
}

/// The percentages of a part of the year.
std::string percentage_rows(const DemandReport& report, const TextStyle& style, std::size_t first,
                            std::size_t count) {
    const std::vector<ProgramPlan>& programs = report.plan.site.programs;
    std::vector<TextColumn> months(count);
    TextColumn labels;
    for (std::size_t i = 0; i < count; ++i)
        months[i].heading = rendered(month_label(first + i), style);
    for (const ProgramPlan& program : programs) {
        labels.cells.push_back(
            left_aligned(rendered(program_label(program), style), kLabelColumns));
        for (std::size_t i = 0; i < count; ++i)
            months[i].cells.push_back(std::to_string(program.percent[first + i]));
    }
    bool has_heading = false;
    for (const ZonePlan& zone : report.plan.zones) {
        const bool is_negligible =
            std::all_of(zone.months.begin(), zone.months.end(), [&](const ZoneMonth& month) {
                return is_negligible_depth(month.by_percentage.excess_mm, style);
            });
        if (is_negligible) continue;
        if (!has_heading) {
            labels.cells.push_back(
                rendered({"adjust.excess_heading"_text, {{"unit", depth_unit(style)}}}, style));
            for (TextColumn& month : months) month.cells.emplace_back();
            has_heading = true;
        }
        labels.cells.push_back(
            shortened("  " + zone.name, count == kMonths ? kExcessColumns : kNarrowExcessColumns));
        for (std::size_t i = 0; i < count; ++i) {
            const double mm = zone.months[first + i].by_percentage.excess_mm;
            months[i].cells.push_back(is_negligible_depth(mm, style) ? "."
                                                                     : depth_text(mm, style, -1));
        }
    }
    return text_table(labels, months, 1);
}

}  // namespace

std::string percentage_table(const DemandReport& report, const TextStyle& style,
                             std::size_t columns) {
    if (report.plan.site.programs.empty()) return {};
    if (columns >= kWideColumns) return percentage_rows(report, style, 0, kMonths);
    return percentage_rows(report, style, 0, kMonthsInNarrowRow) +
           percentage_rows(report, style, kMonthsInNarrowRow, kMonthsInNarrowRow);
}

std::string zone_table(const ZonePlan& zone, std::string_view currency, const TextStyle& style,
                       std::size_t columns) {
    const bool is_wide = columns >= kWideColumns;
    TextColumn labels{depth_unit(style), {}};
    const auto column = [&style](TextKey heading) {
        return TextColumn{rendered(heading, style), {}};
    };
    TextColumn need = column(is_wide ? "column.need"_text : "column.need_narrow"_text);
    TextColumn rain = column(is_wide ? "column.eff_rain"_text : "column.eff"_text);
    TextColumn net = column("column.net"_text);
    TextColumn gross = column("column.gross"_text);
    TextColumn percent{"%", {}};
    TextColumn days = column(is_wide ? "column.days_per_week"_text : "column.days"_text);
    TextColumn runs = column("column.cycles"_text);
    TextColumn minutes = column("column.minutes_per_week"_text);
    TextColumn water{std::string(volume_unit(style)), {}};
    TextColumn cost{rendered({"column.cost"_text, {{"currency", std::string(currency)}}}, style),
                    {}};
    for (std::size_t m = 0; m < kMonths; ++m) {
        MonthCells cells = month_cells(zone.months[m], style);
        labels.cells.push_back(rendered(month_label(m), style));
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
    const std::string first_line = out.substr(0, out.find('\n'));
    if (is_wide && columns_of(first_line) > columns) out = text_table(labels, shown, 1);
    if (Phrase dormant = dormant_months(zone); !is_wide && !dormant.empty())
        out += wrapped(rendered({"table.dormant"_text, {{"months", dormant}}}, style), columns);
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

}  // namespace thirstline
