#include "lookup/demand_output/demand_chart.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "lookup/demand_output/reader_numbers.hpp"
#include "lookup/site_output/site_table.hpp"
#include "lookup/texts/phrase.hpp"
#include "schema/text/html_text.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
namespace {

// Coordinates of the drawing; the page scales it.
constexpr double kWidth = 400.0;
constexpr double kHeight = 222.0;
constexpr double kLeft = 32.0;
constexpr double kRight = 398.0;
constexpr double kTop = 40.0;
constexpr double kBottom = 200.0;
constexpr double kSlot = (kRight - kLeft) / kMonths;
constexpr double kRainWidth = 0.62 * kSlot;
constexpr double kCreditWidth = 0.34 * kSlot;

std::string px(double value) {
    return fixed(value, 1);
}

/// A round step; four to eight steps reach up to `greatest`.
double axis_step(double greatest) {
    const double rough = std::max(greatest, 1e-6) / 5.0;
    const double power = std::pow(10.0, std::floor(std::log10(rough)));
    for (const double step : std::array{1.0, 2.0, 2.5, 5.0, 10.0}) {
        if (step * power >= rough) return step * power;
    }
    return 10.0 * power;
}

class Chart {
  public:
    Chart(const Monthly<SiteMonth>& months, const TextStyle& style)
        : months_(months), is_us_(style.units == UnitSystem::us), style_(style) {
        double greatest = 0.0;
        for (const SiteMonth& month : months_) {
            greatest =
                std::max({greatest, shown(month.need_mm), shown(month.rain_mm.value_or(0.0))});
        }
        step_ = axis_step(greatest);
        top_ = step_ * std::max(1.0, std::ceil(greatest / step_ - 1e-9));
    }

    [[nodiscard]] std::string drawn() const {
        std::string out = "<svg viewBox=\"0 0 " + px(kWidth) + " " + px(kHeight) +
                          "\" role=\"img\" aria-labelledby=\"chart-title chart-text\">\n";
        out += "<title id=\"chart-title\">" + in_language("chart.title"_text) +
               "</title>\n<desc id=\"chart-text\">" + escaped(description()) + "</desc>\n";
        out +=
            "<defs><pattern id=\"hatch\" width=\"5\" height=\"5\" "
            "patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">"
            "<line class=\"hatch\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"5\"/></pattern></defs>\n";
        return out + axis() + bars() + need() + legend() + "</svg>\n";
    }

  private:
    [[nodiscard]] std::string in_language(TextKey key) const {
        return escaped(rendered(key, style_));
    }
    [[nodiscard]] double shown(double mm) const { return is_us_ ? inches(mm) : mm; }
    [[nodiscard]] double y_of(double mm) const {
        return kBottom - shown(mm) / top_ * (kBottom - kTop);
    }
    [[nodiscard]] static double x_of(std::size_t m) {
        return kLeft + (static_cast<double>(m) + 0.5) * kSlot;
    }

    [[nodiscard]] std::string description() const {
        std::size_t peak = 0;
        double need_mm = 0.0;
        double rain_mm = 0.0;
        double credited_mm = 0.0;
        for (std::size_t m = 0; m < kMonths; ++m) {
            if (months_[m].need_mm > months_[peak].need_mm) peak = m;
            need_mm += months_[m].need_mm;
            rain_mm += months_[m].rain_mm.value_or(0.0);
            credited_mm += months_[m].effective_rain_mm;
        }
        return rendered({"chart.description"_text,
                         {{"month", month_in_full(peak)},
                          {"peak", depth_with_unit(months_[peak].need_mm, style_)},
                          {"need", depth_with_unit(need_mm, style_)},
                          {"rain", depth_with_unit(rain_mm, style_)},
                          {"effective", depth_with_unit(credited_mm, style_)}}},
                        style_);
    }

    [[nodiscard]] std::string axis() const {
        std::string out;
        const int decimals = step_ < 1.0 ? 1 : 0;
        const auto ticks = static_cast<int>(std::lround(top_ / step_));
        for (int tick = 0; tick <= ticks; ++tick) {
            const double value = tick * step_;
            const double y = kBottom - value / top_ * (kBottom - kTop);
            out += "<line class=\"" + std::string(tick == 0 ? "base" : "grid") + "\" x1=\"" +
                   px(kLeft) + "\" x2=\"" + px(kRight) + "\" y1=\"" + px(y) + "\" y2=\"" + px(y) +
                   "\"/><text class=\"tick\" x=\"" + px(kLeft - 5) + "\" y=\"" + px(y + 3.5) +
                   "\" text-anchor=\"end\">" + fixed(value, decimals) + "</text>\n";
        }
        out += "<text class=\"tick\" x=\"" + px(kLeft - 5) + "\" y=\"" + px(kTop - 12) +
               "\" text-anchor=\"end\">" + depth_unit(style_) + "</text>\n";
        for (std::size_t m = 0; m < kMonths; ++m) {
            out += "<text class=\"month\" x=\"" + px(x_of(m)) + "\" y=\"" + px(kBottom + 16) +
                   "\" text-anchor=\"middle\">" + in_language(month_label(m)) + "</text>\n";
        }
        return out;
    }

    [[nodiscard]] std::string bar_of(std::size_t m, double mm, double width,
                                     std::string_view css_class) const {
        if (mm <= 0.0) return {};
        const double y = y_of(mm);
        return "<rect class=\"" + std::string(css_class) + "\" x=\"" + px(x_of(m) - width / 2) +
               "\" y=\"" + px(y) + "\" width=\"" + px(width) + "\" height=\"" + px(kBottom - y) +
               "\"/>\n";
    }

    [[nodiscard]] std::string bars() const {
        std::string out;
        for (std::size_t m = 0; m < kMonths; ++m) {
            out += bar_of(m, months_[m].rain_mm.value_or(0.0), kRainWidth, "rain");
            out += bar_of(m, months_[m].effective_rain_mm, kCreditWidth, "credit");
        }
        return out;
    }

    [[nodiscard]] std::string need() const {
        std::string points;
        std::string dots;
        for (std::size_t m = 0; m < kMonths; ++m) {
            const std::string x = px(x_of(m));
            const std::string y = px(y_of(months_[m].need_mm));
            points += (m > 0 ? " " : "") + x + "," + y;
            dots += "<circle class=\"dot\" cx=\"" + x + "\" cy=\"" + y + "\" r=\"3.4\"/>\n";
        }
        return "<polyline class=\"need\" points=\"" + points + "\"/>\n" + dots;
    }

    /// Swatch and label, from left to right.
    [[nodiscard]] std::string legend() const {
        const auto word = [this](double x, TextKey text) {
            return "<text class=\"key\" x=\"" + px(x) + "\" y=\"15\">" + in_language(text) +
                   "</text>\n";
        };
        return "<line class=\"need\" x1=\"32\" x2=\"56\" y1=\"11\" y2=\"11\"/>"
               "<circle class=\"dot\" cx=\"44\" cy=\"11\" r=\"3.4\"/>\n" +
               word(61, "chart.need"_text) +
               "<rect class=\"rain\" x=\"158\" y=\"5\" width=\"20\" height=\"12\"/>\n" +
               word(183, "chart.rain"_text) +
               "<rect class=\"credit\" x=\"238\" y=\"5\" width=\"12\" height=\"12\"/>\n" +
               word(255, "chart.effective"_text);
    }

    const Monthly<SiteMonth>& months_;
    bool is_us_;
    TextStyle style_;
    double step_ = 1.0;
    double top_ = 1.0;
};

}  // namespace

std::string demand_chart(const Monthly<SiteMonth>& months, const TextStyle& style) {
    return Chart(months, style).drawn();
}

}  // namespace thirstline
