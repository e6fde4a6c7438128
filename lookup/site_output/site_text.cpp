#include "lookup/site_output/site_text.hpp"

#include "lookup/site_output/season_words.hpp"
#include "lookup/site_output/site_table.hpp"
#include "lookup/site_output/site_words.hpp"
#include "lookup/site_output/source_sentences.hpp"
#include "schema/text/text_wrapping.hpp"

namespace thirstline {
namespace {

std::string caption(const SiteReport& report, const TextStyle& style) {
    return wrapped(eto_label(report.baseline) + " and rain, " + depth_unit(style) + "/month",
                   kTextColumns);
}

std::string peak_sentence(const SiteReport& report, const TextStyle& style) {
    const std::string label = eto_label(report.baseline);
    const auto peak = report.profile.peak_month;
    if (!peak) return wrapped(label + " is zero in every month.", kTextColumns);
    const auto index = static_cast<std::size_t>(*peak - 1);
    return wrapped("Peak month: " + std::string(kMonthNames[index]) + ", " +
                       depth_text(*report.profile.months[index].eto_mm_per_day, style, 1) + " " +
                       depth_unit(style) + "/day.",
                   kTextColumns);
}

}  // namespace

std::string site_text(const SiteReport& report, const TextStyle& style) {
    std::string out = paragraphs(site_heading(report, style), kTextColumns) + "\n";
    out += caption(report, style);
    out += month_table(report, style) + "\n";
    out += peak_sentence(report, style) + "\n";
    if (const std::string steps = step_table(report, style); !steps.empty()) out += steps + "\n";
    if (report.season)
        out += listed(season_heading(style), season_sentences(*report.season, style), kTextColumns);
    out += listed("About these numbers", about_these_numbers(report, style), kTextColumns);
    out += listed("Sources", source_sentences(report.baseline), kTextColumns);
    return out + paragraphs(baseline_sentences(report.baseline), kTextColumns);
}

}  // namespace thirstline
