#include "sim/loss/screen_blockage.h"

#include <algorithm>

namespace sim {
namespace {

/// |F| of an edge `off_m` from the direct path's level or plane in one view, in which the ends lie
/// at (0, a_m) and (distance, b_m).
double edge_share(Frequency f, double distance_m, double at_m, double edge_m, double a_m,
                  double b_m) {
  const double round = std::hypot(at_m, edge_m - a_m) + std::hypot(distance_m - at_m, edge_m - b_m);
  const double excess = std::max(0.0, round - std::hypot(distance_m, b_m - a_m));
  constexpr double pi = std::numbers::pi;
  return std::atan(0.5 * pi * std::sqrt(pi / f.wavelength_m() * excess)) / pi;
}

/// Signs the two edges of a view: the nearer is negative where the path passes outside.
void sign_edges(double path, double low, double high, double& low_share, double& high_share) {
  if (path >= low && path <= high) return;
  double& nearer = std::abs(path - low) < std::abs(path - high) ? low_share : high_share;
  nearer = -nearer;
}

}  // namespace

ScreenBlockage screen_blockage_loss(Frequency f, double distance_m, double h_node_m,
                                    double h_receiver_m, const BlockingScreen& screen) noexcept {
  ScreenBlockage answer;
  const double at = screen.at_m;
  const double path_m = h_node_m + (h_receiver_m - h_node_m) * at / distance_m;
  answer.base = edge_share(f, distance_m, at, 0.0, h_node_m, h_receiver_m);
  answer.top = edge_share(f, distance_m, at, screen.height_m, h_node_m, h_receiver_m);
  sign_edges(path_m, 0.0, screen.height_m, answer.base, answer.top);
  const double left_m = screen.offset_m - 0.5 * screen.width_m;
  const double right_m = screen.offset_m + 0.5 * screen.width_m;
  answer.left = edge_share(f, distance_m, at, left_m, 0.0, 0.0);
  answer.right = edge_share(f, distance_m, at, right_m, 0.0, 0.0);
  sign_edges(0.0, left_m, right_m, answer.left, answer.right);
  const double taken = (answer.base + answer.top) * (answer.left + answer.right);
  answer.loss = Db(-20.0 * std::log10(1.0 - taken));
  return answer;
}

}  // namespace sim
