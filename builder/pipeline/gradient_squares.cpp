#include "builder/pipeline/gradient_squares.hpp"

namespace thirstline {

Lattice lattice_of_gradient_squares(const Lattice& lattice) {
    Lattice squares = lattice;
    squares.tile_edge = kGradientSquareEdge;
    return squares;
}

bool is_gradient_sample(const Lattice& lattice, LatticePoint point) {
    constexpr int kPeriod = 4;
    const LatticePoint offset = global_offset(lattice);
    const int row = (offset.row + point.row) % kPeriod;
    const int column = (offset.column + point.column) % kPeriod;
    return row % 2 == 1 && row == column;
}

}  // namespace thirstline
