// The answers of one layer in its own unit.
//
// Thread safety: a plain value, valid as long as the answer that it refers to.
#pragma once

#include <optional>

#include "schema/answer/answer.hpp"
#include "schema/base/calendar.hpp"
#include "schema/tile/tile.hpp"

namespace thirstline {

class LayerValues {
  public:
    LayerValues(const Answer& answer, const TileLayout& layout, LayerId id)
        : values_(answer.of(id)) {
        const Layer* layer = layout.find(id);
        exists_ = layer != nullptr;
        if (exists_) divisor_ = static_cast<double>(layer->divisor) * kAnswerScale;
    }

    [[nodiscard]] bool exist() const { return exists_; }

    /// One division of exact integers, so that the double is the nearest to the true value.
    [[nodiscard]] std::optional<double> at(int month, double times = 1.0) const {
        const std::int32_t value = values_[static_cast<std::size_t>(month)];
        if (!exists_ || value == kMissingValue) return std::nullopt;
        return value * times / divisor_;
    }

  private:
    const Monthly<std::int32_t>& values_;
    bool exists_ = false;
    double divisor_ = 1.0;
};

}  // namespace thirstline
