// Reads rectangles of raw numbers from the bands of a grid. Within this folder only.
#pragma once

#include <gdal_priv.h>

#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

#include "builder/grids/grid_bands.hpp"

namespace thirstline {

/// [row][column][band], after scale and offset, with NaN for missing numbers.
class RawReader {
  public:
    /// `in_one_dataset`: the bands are all those of one dataset, in their order.
    RawReader(std::vector<MonthBand>& bands, bool in_one_dataset)
        : bands_(bands), in_one_dataset_(in_one_dataset) {}

    [[nodiscard]] bool read(int column, int row, int columns, int rows) {
        const std::size_t cells =
            static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows);
        raw_.resize(cells * bands_.size());
        if (!read_numbers(column, row, columns, rows)) return false;
        for (std::size_t i = 0; i < bands_.size(); ++i) {
            MonthBand& band = bands_[i];
            for (std::size_t cell = 0; cell < cells; ++cell) {
                double& number = raw_[cell * bands_.size() + i];
                number = band.missing.is_missing(number) ? std::numeric_limits<double>::quiet_NaN()
                                                         : number * band.scale + band.offset;
            }
            if (!band.has_mask) continue;
            mask_.resize(cells);
            if (band.band->GetMaskBand()->RasterIO(GF_Read, column, row, columns, rows,
                                                   mask_.data(), columns, rows, GDT_Byte, 0, 0,
                                                   nullptr) != CE_None) {
                return false;
            }
            for (std::size_t cell = 0; cell < cells; ++cell) {
                if (mask_[cell] == 0)
                    raw_[cell * bands_.size() + i] = std::numeric_limits<double>::quiet_NaN();
            }
        }
        return true;
    }

    /// After the file's scale and offset, in the recipe's unit.
    [[nodiscard]] const double* cell(std::size_t index) const {
        return raw_.data() + index * bands_.size();
    }

  private:
    [[nodiscard]] bool read_numbers(int column, int row, int columns, int rows) {
        const GSpacing number = sizeof(double);
        const GSpacing pixel = number * static_cast<GSpacing>(bands_.size());
        const GSpacing line = pixel * columns;
        if (in_one_dataset_) {
            return bands_.front().band->GetDataset()->RasterIO(
                       GF_Read, column, row, columns, rows, raw_.data(), columns, rows, GDT_Float64,
                       static_cast<int>(bands_.size()), nullptr, pixel, line, number,
                       nullptr) == CE_None;
        }
        for (std::size_t i = 0; i < bands_.size(); ++i) {
            if (bands_[i].band->RasterIO(GF_Read, column, row, columns, rows, raw_.data() + i,
                                         columns, rows, GDT_Float64, pixel, line,
                                         nullptr) != CE_None) {
                return false;
            }
        }
        return true;
    }

    std::vector<MonthBand>& bands_;
    bool in_one_dataset_;
    std::vector<double> raw_;
    std::vector<std::uint8_t> mask_;
};

}  // namespace thirstline
