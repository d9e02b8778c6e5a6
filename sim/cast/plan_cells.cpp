#include "sim/cast/plan_cells.h"

namespace sim {

template <class Use>
void PlanCells::each_cell_of(const PlanBox& box, Use use) const {
  const auto cell = [&](double v) { return static_cast<int>(std::floor(v / cell_m_)); };
  const int c0 = std::max(0, cell(box.west_m - margin_m_ - west_m_)),
            c1 = std::min(cols_ - 1, cell(box.east_m + margin_m_ - west_m_));
  const int r0 = std::max(0, cell(box.south_m - margin_m_ - south_m_)),
            r1 = std::min(rows_ - 1, cell(box.north_m + margin_m_ - south_m_));
  for (int r = r0; r <= r1; ++r) {
    for (int c = c0; c <= c1; ++c) use(cell_index(c, r));
  }
}

PlanCells::PlanCells(std::span<const PlanBox> boxes, double cell_m, double margin_m)
    : cell_m_(cell_m), margin_m_(margin_m), count_(boxes.size()) {
  PlanBox all;
  for (const PlanBox& box : boxes) {
    if (box.west_m > box.east_m) continue;  // empty
    all.cover({box.west_m, box.south_m, 0.0});
    all.cover({box.east_m, box.north_m, 0.0});
  }
  if (all.west_m > all.east_m) return;
  west_m_ = all.west_m - margin_m_;
  south_m_ = all.south_m - margin_m_;
  cols_ = static_cast<int>((all.east_m + margin_m_ - west_m_) / cell_m_) + 1;
  rows_ = static_cast<int>((all.north_m + margin_m_ - south_m_) / cell_m_) + 1;
  first_.assign(static_cast<std::size_t>(cols_) * static_cast<std::size_t>(rows_) + 1, 0);
  // Two rounds: count, then fill.
  for (const PlanBox& box : boxes) {
    each_cell_of(box, [&](std::size_t at) { ++first_[at + 1]; });
  }
  for (std::size_t i = 1; i < first_.size(); ++i) first_[i] += first_[i - 1];
  numbers_.resize(first_.back());
  std::vector<std::uint32_t> next(first_.begin(), first_.end() - 1);
  for (std::uint32_t number = 0; number < boxes.size(); ++number) {
    each_cell_of(boxes[number], [&](std::size_t at) { numbers_[next[at]++] = number; });
  }
}

namespace {

/// What a thread keeps of its searches: by number, the search that met it last.
struct Searches {
  std::vector<std::uint32_t> marks, found;
  std::uint32_t mark = 0;

  void begin(std::size_t count) {
    if (marks.size() >= count && ++mark != 0) return;
    marks.assign(std::max(count, marks.size()), 0);
    found.resize(marks.size() + 1);
    mark = 1;
  }
};

}  // namespace

std::span<const std::uint32_t> PlanCells::near(ScenePoint a, ScenePoint b, double reach_m) const {
  if (cols_ == 0) return {};
  thread_local Searches searches;
  searches.begin(count_);
  const std::uint32_t mark = searches.mark;
  std::uint32_t* const marks = searches.marks.data();
  std::uint32_t* const found = searches.found.data();
  std::size_t count = 0;
  // In cells; a little wider, for rounding.
  const double per_m = 1.0 / cell_m_;
  const double reach = std::max(0.0, reach_m - margin_m_) * per_m + 1e-9;
  const double x0 = (a.x_m - west_m_) * per_m, y0 = (a.y_m - south_m_) * per_m;
  const double dx = (b.x_m - a.x_m) * per_m, dy = (b.y_m - a.y_m) * per_m;
  const bool level = std::abs(dy) < 1e-9;  // along the rows
  const double per_row = level ? 0.0 : 1.0 / dy;
  // Numbers outside the grid are held at its edge, where the loops end at once.
  const auto cell = [](double v, int cells) {
    return static_cast<int>(std::clamp(v, -1.0, static_cast<double>(cells)) + 1.0) - 1;
  };
  const int r0 = std::max(0, cell(std::min(y0, y0 + dy) - reach, rows_));
  const int r1 = std::min(rows_ - 1, cell(std::max(y0, y0 + dy) + reach, rows_));
  for (int r = r0; r <= r1; ++r) {
    // Share of the path whose y lies within this row, widened by the reach.
    const double u = (r - reach - y0) * per_row, v = (r + 1 + reach - y0) * per_row;
    const double t0 = level ? 0.0 : std::clamp(std::min(u, v), 0.0, 1.0);
    const double t1 = level ? 1.0 : std::clamp(std::max(u, v), 0.0, 1.0);
    const double xa = x0 + t0 * dx, xb = x0 + t1 * dx;
    const int c0 = std::max(0, cell(std::min(xa, xb) - reach, cols_));
    const int c1 = std::min(cols_ - 1, cell(std::max(xa, xb) + reach, cols_));
    if (c0 > c1) continue;
    // The cells of a row stand one behind the other. Without branches: what was met already is
    // written over.
    const std::uint32_t end = first_[cell_index(c1, r) + 1];
    for (std::uint32_t n = first_[cell_index(c0, r)]; n < end; ++n) {
      const std::uint32_t number = numbers_[n];
      found[count] = number;
      count += marks[number] != mark ? 1 : 0;
      marks[number] = mark;
    }
  }
  return {found, count};
}

}  // namespace sim
