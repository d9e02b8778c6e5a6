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

std::uint32_t* fresh_marks(std::size_t count, std::uint32_t& mark) {
  thread_local std::vector<std::uint32_t> marks;  // by number: the search that met it last
  thread_local std::uint32_t search = 0;
  if (marks.size() < count || ++search == 0) {
    marks.assign(std::max(count, marks.size()), 0);
    search = 1;
  }
  mark = search;
  return marks.data();
}

}  // namespace sim
