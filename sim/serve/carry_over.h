// Levels for cells without a ledger, from ledgers near by of the same kind of sight.
#pragma once

#include "sim/serve/sight_classes.h"

namespace sim {

/// A square of cells, and in it for each kind of sight the cell whose ledger stands for it.
class LedgerSquares {
 public:
  /// Of each kind in each square, a cell that has a ledger is taken before others, then the one
  /// nearest to the middle. `has_ledger` is by the index of the grid.
  LedgerSquares(const GridSpec& spec, const std::vector<SeenCell>& cells,
                const std::vector<std::uint8_t>& has_ledger, int side);

  struct Donor {
    std::uint32_t kind = 0;  ///< SeenCell::kind()
    std::uint32_t seen = 0;  ///< index in the cells
    float column = 0.0F, row = 0.0F;
  };
  /// Of the squares in order, row by row.
  const std::vector<Donor>& donors() const { return donors_; }

  /// The donors of a kind in the square of a cell and in the three next to its corner of it.
  struct Near {
    std::array<const Donor*, 4> donor{};
    std::array<float, 4> weight{};
    int count = 0;
  };
  Near near(int col, int row, std::uint32_t kind) const;

 private:
  std::size_t square_at(int col, int row) const {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(cols_) +
           static_cast<std::size_t>(col);
  }

  int side_, cols_, rows_;  ///< squares
  std::vector<std::uint32_t> first_;
  std::vector<Donor> donors_;
};

/// Gives every seen cell without a ledger the weighed levels of its donors in `grid`. A cell whose
/// donors have no answer stays without. On all threads.
void carry_over(const Scene& scene, const LinkSettings& settings, const LedgerSquares& squares,
                const std::vector<SeenCell>& cells, const std::vector<std::uint8_t>& has_ledger,
                PredictionGrid& grid);

}  // namespace sim
