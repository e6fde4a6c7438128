#include "tests/support/climate_request.hpp"

namespace thirstline::test {

std::string climate_request(const Answer& answer, const TileLayout& layout) {
    std::string lines;
    for (const LayerId id : {LayerId::eto, LayerId::eto_se, LayerId::rain, LayerId::rain_se,
                             LayerId::tmax, LayerId::tmin}) {
        const Layer* layer = layout.find(id);
        if (layer == nullptr) continue;
        lines += std::string(layer->name) + "=" + std::to_string(layer->divisor);
        char separator = ':';
        for (const std::int32_t value : answer.of(id)) {
            lines += separator;
            if (value != kMissingValue) lines += std::to_string(value);
            separator = ',';
        }
        lines += "\n";
    }
    return lines;
}

}  // namespace thirstline::test
