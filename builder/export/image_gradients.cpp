#include "builder/export/image_gradients.hpp"

#include <algorithm>
#include <map>
#include <utility>

namespace thirstline {

namespace {

constexpr LayerId kFirstGradient = LayerId::eto_gradient;
constexpr int kGradients = 4;
constexpr int kMaxSquareEdge = 16;
constexpr std::uint64_t kGradientLayerBytes = 4;
constexpr std::uint64_t kSquaresOfLatticeBytes = 8;
constexpr std::uint64_t kMissing16Bits = 0x8000;

LayerId value_of(LayerId gradient) {
    switch (gradient) {
        case LayerId::eto_gradient:
            return LayerId::eto;
        case LayerId::rain_gradient:
            return LayerId::rain;
        case LayerId::tmax_gradient:
            return LayerId::tmax;
        default:
            return LayerId::tmin;
    }
}

using Values = std::vector<std::int32_t>;
using Squares = std::map<std::pair<int, int>, Values>;  ///< by row and column

/// Squares of twice the edge; nothing if some of them would hold different values.
std::optional<Squares> joined_squares(const Squares& squares) {
    Squares larger;
    for (const auto& [at, values] : squares) {
        const auto [place, is_new] = larger.try_emplace({at.first / 2, at.second / 2}, values);
        if (!is_new && place->second != values) return std::nullopt;
    }
    return larger;
}

std::uint64_t head_bytes(std::size_t lattices) {
    return kGradients * kGradientLayerBytes + lattices * kSquaresOfLatticeBytes + 4;
}

std::uint64_t square_bytes(std::size_t gradients) {
    return gradients * kMonths * 2 + 4;
}

}  // namespace

std::vector<Layer> image_gradients(const TileLayout& source, const ImageLayouts& layouts) {
    std::vector<Layer> gradients;
    for (int number = 0; number < kGradients; ++number) {
        const auto id = static_cast<LayerId>(static_cast<int>(kFirstGradient) + number);
        const Layer* gradient = source.find(id);
        const bool has_values = std::ranges::any_of(layouts, [id](const TileLayout& layout) {
            return layout.find(value_of(id)) != nullptr;
        });
        if (gradient != nullptr && has_values) gradients.push_back(*gradient);
    }
    return gradients;
}

Result<ImageSquares> image_squares(const ExportJob& job, const ImageLattice& lattice,
                                   const std::vector<Layer>& gradients) {
    Squares squares;
    const auto rows = job.tiles.tile_rows(lattice.source);
    for (int row = rows.first; row <= rows.last; ++row) {
        for (const SelectedTile& tile : TRY(job.tiles.row(lattice.source, row))) {
            Values& values = squares[{tile.address.tile_row, tile.address.tile_column}];
            for (const Layer& layer : gradients) {
                const Values& of_layer = tile.tile.of(layer.id);
                values.insert(values.end(), of_layer.begin(), of_layer.end());
            }
        }
    }
    ImageSquares out;
    out.edge = lattice.source.tile_edge;
    while (out.edge * 2 <= kMaxSquareEdge) {
        auto larger = joined_squares(squares);
        if (!larger) break;
        squares = std::move(*larger);
        out.edge *= 2;
    }
    Lattice in_squares = lattice.source;
    in_squares.tile_edge = out.edge;
    const LatticePoint south_west{lattice.first_row, lattice.first_column};
    const TileAddress first = tile_of(in_squares, south_west);
    const TileAddress last = tile_of(in_squares, {south_west.row + lattice.image.rows - 1,
                                                  south_west.column + lattice.image.columns - 1});
    const LatticePoint first_of_all = point_in_tile(in_squares, first, 0);
    out.rows_before = south_west.row - first_of_all.row;
    out.columns_before = south_west.column - first_of_all.column;
    const Values none(gradients.size() * kMonths, kMissingValue);
    for (int row = first.tile_row; row <= last.tile_row; ++row) {
        for (int column = first.tile_column; column <= last.tile_column; ++column) {
            const auto found = squares.find({row, column});
            const Values& values = found == squares.end() ? none : found->second;
            out.values.insert(out.values.end(), values.begin(), values.end());
            ++out.count;
        }
    }
    return out;
}

std::uint64_t image_gradient_bytes(const std::vector<Layer>& gradients,
                                   const std::vector<ImageSquares>& lattices) {
    std::uint64_t bytes = head_bytes(lattices.size());
    for (const ImageSquares& squares : lattices)
        bytes += squares.count * square_bytes(gradients.size());
    return bytes;
}

ImageBytes image_gradient_section(const std::vector<Layer>& gradients,
                                  const std::vector<ImageSquares>& lattices, std::uint64_t offset) {
    ImageBytes head;
    for (int number = 0; number < kGradients; ++number) {
        const auto id = static_cast<LayerId>(static_cast<int>(kFirstGradient) + number);
        const auto layer = std::ranges::find(gradients, id, &Layer::id);
        append_number(head, layer == gradients.end() ? 0 : static_cast<std::uint64_t>(id), 2);
        append_number(head,
                      layer == gradients.end() ? 0 : static_cast<std::uint64_t>(layer->divisor), 2);
    }
    std::uint64_t table = offset + head_bytes(lattices.size());
    for (const ImageSquares& squares : lattices) {
        append_number(head, static_cast<std::uint64_t>(squares.edge), 1);
        append_number(head, static_cast<std::uint64_t>(squares.rows_before), 1);
        append_number(head, static_cast<std::uint64_t>(squares.columns_before), 1);
        append_number(head, 0, 1);
        append_number(head, table, 4);
        table += squares.count * square_bytes(gradients.size());
    }
    ImageBytes out;
    append_record(out, static_cast<std::uint32_t>(offset), head);
    const std::size_t each = gradients.size() * kMonths;
    for (const ImageSquares& squares : lattices) {
        for (std::size_t number = 0; number < squares.count; ++number) {
            ImageBytes square;
            for (std::size_t at = number * each; at < (number + 1) * each; ++at) {
                const std::int32_t value = squares.values[at];
                append_number(
                    square,
                    value == kMissingValue ? kMissing16Bits : static_cast<std::uint32_t>(value), 2);
            }
            append_record(out, static_cast<std::uint32_t>(offset + out.size()), square);
        }
    }
    return out;
}

}  // namespace thirstline
