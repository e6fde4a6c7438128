#include "lookup/page_core/page_request.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "lookup/page_core/page_core.h"
#include "lookup/zone_file/option_texts.hpp"
#include "lookup/zone_file/zone_keys.hpp"
#include "lookup/zone_file/zone_values.hpp"
#include "schema/base/nearest_name.hpp"

namespace thirstline {
namespace {

constexpr std::array kClimateLayers{LayerId::eto,     LayerId::eto_se, LayerId::rain,
                                    LayerId::rain_se, LayerId::tmax,   LayerId::tmin};
constexpr std::int32_t kGreatestDivisor = 10'000;
constexpr std::size_t kHyphens = 2;  // at the start of an option

struct Line {
    std::string_view name;
    std::string_view value;
};

tl::unexpected<Error> refuse(std::string message, std::string hint = {}) {
    return fail(ErrorCode::usage, std::move(message), std::move(hint));
}

/// Removes the text before `by`, and `by` itself, from the front of `text` and returns the text.
std::string_view taken_front(std::string_view& text, char by) {
    const std::size_t end = std::min(text.find(by), text.size());
    const std::string_view front = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    return front;
}

/// The lines that have a value.
Result<std::vector<Line>> lines_of(std::string_view text) {
    if (text.size() > PAGE_CORE_MOST_BYTES) {
        return refuse("the request has " + std::to_string(text.size()) + " bytes, and may have " +
                      std::to_string(PAGE_CORE_MOST_BYTES));
    }
    std::vector<Line> lines;
    while (!text.empty()) {
        std::string_view line = taken_front(text, '\n');
        if (line.empty()) continue;
        if (line.find('=') == std::string_view::npos)
            return refuse("the request's line " + quoted(line) + " is not of the form name=value");
        const std::string_view name = taken_front(line, '=');
        const bool is_known = std::any_of(lines.begin(), lines.end(),
                                          [name](const Line& other) { return other.name == name; });
        if (is_known) return refuse("the request gives " + quoted(name) + " twice");
        if (!line.empty()) lines.push_back({name, line});
    }
    return lines;
}

std::optional<std::int32_t> whole_number(std::string_view text) {
    std::int32_t value = 0;
    const char* const end = text.data() + text.size();
    const auto [stop, error] = std::from_chars(text.data(), end, value);
    return error == std::errc{} && stop == end ? std::optional(value) : std::nullopt;
}

/// The layer in the request's units, with its twelve integers.
struct ClimateLayer {
    Layer layer;
    Monthly<std::int32_t> values{};
};

Result<ClimateLayer> climate_layer(const Layer& layer, std::string_view value) {
    const auto malformed = [&layer] {
        return refuse("the climate's " + std::string(layer.name) +
                      " must be a divisor from 1 to 10000, a colon and twelve whole numbers, by "
                      "commas");
    };
    ClimateLayer out{layer, {}};
    const auto divisor = whole_number(taken_front(value, ':'));
    if (!divisor || *divisor < 1 || *divisor > kGreatestDivisor) return malformed();
    out.layer.divisor = *divisor;
    if (std::count(value.begin(), value.end(), ',') != kMonths - 1) return malformed();
    for (std::int32_t& month : out.values) {
        const std::string_view written = taken_front(value, ',');
        const auto number = written.empty() ? std::optional(kMissingValue) : whole_number(written);
        if (!number) return malformed();
        month = *number;
    }
    return out;
}

std::optional<Layer> climate_layer_named(std::string_view name) {
    for (const LayerId id : kClimateLayers) {
        const auto layer = layer_by_id(static_cast<int>(id));
        if (layer && layer->name == name) return layer;
    }
    return std::nullopt;
}

std::optional<std::size_t> option_index(std::string_view name) {
    const auto keys = zone_keys();
    for (std::size_t i = 0; i < keys.size(); ++i)
        if (is_option(keys[i]) && option_name(keys[i]).substr(kHyphens) == name) return i;
    return std::nullopt;
}

tl::unexpected<Error> unknown_name(std::string_view name) {
    std::vector<std::string> options;
    for (const ZoneKey& key : zone_keys()) {
        if (is_option(key)) options.push_back(option_name(key).substr(kHyphens));
    }
    return refuse("the request has the unknown name " + quoted(name),
                  did_you_mean(name, {options.begin(), options.end()}));
}

/// Reads the lines one by one.
class RequestReader {
  public:
    Result<void> take(const Line& line) {
        if (line.name == "units") return take_units(line.value);
        if (line.name == "reference") return take_reference(line.value);
        if (const auto layer = climate_layer_named(line.name)) {
            auto climate = TRY(climate_layer(*layer, line.value));
            answer_.of(layer->id) = climate.values;
            layout_.layers.push_back(climate.layer);
            return {};
        }
        const auto option = option_index(line.name);
        if (!option) return unknown_name(line.name);
        options_[*option] = std::string(line.value);
        return {};
    }

    [[nodiscard]] Result<PageRequest> whole() const {
        auto set = TRY(zone_set_of_texts(options_));
        PageRequest request{{}, std::move(set), units_};
        request.site.profile = site_profile(answer_, layout_);
        request.site.baseline.reference = reference_;
        return request;
    }

  private:
    Result<void> take_units(std::string_view word) {
        const auto units = unit_system_named(word);
        if (!units) return refuse("units must be us or metric, not " + quoted(word));
        units_ = *units;
        return {};
    }
    Result<void> take_reference(std::string_view word) {
        if (word != "short" && word != "tall")
            return refuse("reference must be short or tall, not " + quoted(word));
        reference_ = word;
        return {};
    }

    Answer answer_;
    TileLayout layout_;
    OptionTexts options_ = OptionTexts(zone_keys().size());
    UnitSystem units_ = UnitSystem::metric;
    std::string reference_ = "short";
};

}  // namespace

Result<PageRequest> page_request(std::string_view text) {
    const auto lines = TRY(lines_of(text));
    RequestReader reader;
    for (const Line& line : lines) TRY(reader.take(line));
    return reader.whole();
}

}  // namespace thirstline
