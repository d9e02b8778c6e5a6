#include "sim/serve/carry_over.h"

#include <algorithm>
#include <cmath>

#include "sim/base/parallel.h"

namespace sim {
namespace {

/// Donors in the square of a cell have at least this weight less than infinity, in cells squared.
constexpr float nearest_square = 0.25F;

/// The bands that are weighed; the others are told anew or taken from the nearest donor.
struct GridBands {
  explicit GridBands(PredictionGrid& grid) {
    const auto band = [&](const char* name) { return grid.band(name).values.data(); };
    sight = band("sight");
    best_sector = band("best_sector");
    state = band("state");
    path_loss = band("path_loss_db");
    rsrp = band("rsrp_dbm");
    snr = band("snr_db");
    others = {band("downlink_mbps"), band("uplink_mbps"), band("p_hold")};
  }
  float *sight, *best_sector, *state, *path_loss, *rsrp, *snr;
  std::array<float*, 3> others;
};

constexpr std::array ledger_columns{&LedgerOfCell::free_space_db,     &LedgerOfCell::diffraction_db,
                                    &LedgerOfCell::foliage_db,        &LedgerOfCell::penetration_db,
                                    &LedgerOfCell::gas_rain_db,       &LedgerOfCell::pattern_db,
                                    &LedgerOfCell::reflection_gain_db};

Sight sight_of_cell(RayClass ray, Sight donor) {
  switch (ray) {
    case RayClass::wide:
      return Sight::nlos;
    case RayClass::leaves:
      return Sight::olos;
    case RayClass::narrow:
      return donor == Sight::nlos ? Sight::nlos : Sight::olos;
    case RayClass::free:
      break;
  }
  return donor == Sight::los ? Sight::los : Sight::olos;
}

}  // namespace

LedgerSquares::LedgerSquares(const GridSpec& spec, const std::vector<SeenCell>& cells,
                             const std::vector<std::uint8_t>& has_ledger, int side)
    : side_(side), cols_((spec.cols + side - 1) / side), rows_((spec.rows + side - 1) / side) {
  struct Choice {
    Donor donor;
    bool has_ledger;
    float off_middle;
  };
  std::vector<std::vector<Choice>> by_square(static_cast<std::size_t>(cols_) *
                                             static_cast<std::size_t>(rows_));
  const float half = 0.5F * static_cast<float>(side - 1);
  for (std::uint32_t k = 0; k < cells.size(); ++k) {
    const int col = static_cast<int>(cells[k].cell) % spec.cols;
    const int row = static_cast<int>(cells[k].cell) / spec.cols;
    auto& square = by_square[square_at(col / side, row / side)];
    const float off =
        std::hypot(static_cast<float>(col % side) - half, static_cast<float>(row % side) - half);
    const Choice choice{{cells[k].kind(), k, static_cast<float>(col), static_cast<float>(row)},
                        has_ledger[cells[k].cell] != 0,
                        off};
    const auto found = std::find_if(square.begin(), square.end(), [&](const Choice& other) {
      return other.donor.kind == choice.donor.kind;
    });
    if (found == square.end()) {
      square.push_back(choice);
    } else if (choice.has_ledger != found->has_ledger ? choice.has_ledger
                                                      : off < found->off_middle) {
      *found = choice;
    }
  }
  first_.reserve(by_square.size() + 1);
  first_.push_back(0);
  for (const auto& square : by_square) {
    for (const Choice& choice : square) donors_.push_back(choice.donor);
    first_.push_back(static_cast<std::uint32_t>(donors_.size()));
  }
}

LedgerSquares::Near LedgerSquares::near(int col, int row, std::uint32_t kind) const {
  Near near;
  const int c = col / side_, r = row / side_;
  const int beside = 2 * (col % side_) < side_ ? c - 1 : c + 1;
  const int over = 2 * (row % side_) < side_ ? r - 1 : r + 1;
  for (const auto& [sc, sr] : {std::pair{c, r}, {beside, r}, {c, over}, {beside, over}}) {
    if (sc < 0 || sc >= cols_ || sr < 0 || sr >= rows_) continue;
    const std::size_t square = square_at(sc, sr);
    for (std::uint32_t i = first_[square]; i < first_[square + 1]; ++i) {
      const Donor& donor = donors_[i];
      if (donor.kind != kind) continue;
      const float dx = donor.column - static_cast<float>(col);
      const float dy = donor.row - static_cast<float>(row);
      const auto at = static_cast<std::size_t>(near.count++);
      near.donor[at] = &donor;
      near.weight[at] = 1.0F / (dx * dx + dy * dy + nearest_square);
    }
  }
  return near;
}

void carry_over(const Scene& scene, const LinkSettings& settings, const LedgerSquares& squares,
                const std::vector<SeenCell>& cells, const std::vector<std::uint8_t>& has_ledger,
                PredictionGrid& grid) {
  std::vector<ScenePoint> antenna_of_sector{{}};  // by best_sector, which counts from 1
  for (const Node& node : scene.nodes)
    antenna_of_sector.insert(antenna_of_sector.end(), node.sectors.size(), node.position);
  const GridBands bands(grid);
  constexpr std::size_t block = 4096;
  parallel_blocks(cells.size(), block, [&](std::size_t begin, std::size_t end) {
    for (std::size_t k = begin; k < end; ++k) {
      const SeenCell& cell = cells[k];
      const std::size_t i = cell.cell;
      if (has_ledger[i] != 0) continue;
      const int cols = grid.spec.cols;
      auto near = squares.near(static_cast<int>(i) % cols, static_cast<int>(i) / cols, cell.kind());
      int nearest = -1;
      for (int n = 0; n < near.count; ++n) {
        const auto at = static_cast<std::size_t>(n);
        if (std::isnan(bands.rsrp[cells[near.donor[at]->seen].cell])) continue;
        if (nearest < 0 || near.weight[at] > near.weight[static_cast<std::size_t>(nearest)])
          nearest = n;
      }
      if (nearest < 0) continue;
      const SeenCell& first = cells[near.donor[static_cast<std::size_t>(nearest)]->seen];
      const float sector = bands.best_sector[first.cell];
      float sum = 0.0F, path_loss = 0.0F, rsrp = 0.0F, snr = 0.0F;
      std::array<float, 3> others{};
      std::array<float, ledger_columns.size()> ledger{};
      for (int n = 0; n < near.count; ++n) {
        const std::size_t from = cells[near.donor[static_cast<std::size_t>(n)]->seen].cell;
        const float w = near.weight[static_cast<std::size_t>(n)];
        if (!(bands.best_sector[from] == sector)) continue;
        sum += w;
        path_loss += w * bands.path_loss[from];
        rsrp += w * bands.rsrp[from];
        snr += w * bands.snr[from];
        for (std::size_t b = 0; b < others.size(); ++b) others[b] += w * bands.others[b][from];
        for (std::size_t b = 0; b < ledger.size(); ++b)
          ledger[b] += w * (grid.ledger[from].*ledger_columns[b]);
      }
      const ScenePoint antenna = antenna_of_sector[static_cast<std::size_t>(sector)];
      // Free space by the distance of the cell itself.
      const float free_space =
          grid.ledger[first.cell].free_space_db +
          static_cast<float>(20.0 * std::log10(std::max(distance_m(antenna, cell.phone), 0.1) /
                                               std::max(distance_m(antenna, first.phone), 0.1)));
      const float farther = free_space - ledger[0] / sum;
      bands.best_sector[i] = sector;
      bands.path_loss[i] = path_loss / sum + farther;
      bands.rsrp[i] = rsrp / sum - farther;
      bands.snr[i] = snr / sum - farther;
      for (std::size_t b = 0; b < others.size(); ++b) bands.others[b][i] = others[b] / sum;
      for (std::size_t b = 0; b < ledger.size(); ++b)
        grid.ledger[i].*ledger_columns[b] = ledger[b] / sum;
      grid.ledger[i].free_space_db = free_space;
      const auto donor_sight = static_cast<Sight>(bands.sight[first.cell]);
      bands.sight[i] = static_cast<float>(sight_of_cell(cell.ray, donor_sight));
      const Dbm level(static_cast<double>(bands.rsrp[i]));
      bands.state[i] = static_cast<float>(level >= settings.hold_rsrp   ? LinkState::hold
                                          : level >= settings.drop_rsrp ? LinkState::marginal
                                                                        : LinkState::drop);
      grid.cause[i] = grid.cause[first.cell];
      grid.cause_obstacle[i] = grid.cause_obstacle[first.cell];
      grid.foliage[i] = grid.foliage[first.cell];
    }
  });
}

}  // namespace sim
