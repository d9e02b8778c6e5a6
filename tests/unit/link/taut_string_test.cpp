#include "sim/link/taut_string.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/support/town.h"

namespace sim {
namespace {

constexpr double length_m = 200.0;

std::vector<DetourCorner> somewhere(std::size_t count, std::uint64_t& state) {
  std::vector<DetourCorner> corners;
  for (std::size_t i = 0; i < count; ++i) {
    const double at = length_m * (0.001 + 0.998 * test::next_number(state));
    corners.push_back({at, 30.0 * test::next_number(state), static_cast<ObstacleId>(i)});
  }
  return corners;
}

/// The upper hull from one end to the other by turns to the right, corner by corner (Andrew's
/// monotone chain, 1979; from memory).
std::vector<DetourCorner> hull(std::vector<DetourCorner> corners) {
  corners.push_back({.at_m = length_m});
  std::sort(corners.begin(), corners.end(),
            [](const DetourCorner& p, const DetourCorner& q) { return p.at_m < q.at_m; });
  std::vector<DetourCorner> chain{{}};
  for (const DetourCorner& c : corners) {
    const auto turns_left = [&] {
      const DetourCorner &p = chain[chain.size() - 2], &q = chain.back();
      return (q.at_m - p.at_m) * (c.aside_m - p.aside_m) -
                 (q.aside_m - p.aside_m) * (c.at_m - p.at_m) >
             0.0;
    };
    while (chain.size() > 1 && turns_left()) chain.pop_back();
    chain.push_back(c);
  }
  return {chain.begin() + 1, chain.end() - 1};
}

TEST(TautString, TouchesTheHullOfItsCorners) {
  std::uint64_t state = 11;
  TautString string;
  for (std::size_t count = 0; count < 60; ++count) {
    const auto corners = somewhere(count, state);
    string.clear();
    for (const DetourCorner& c : corners) string.add(c);
    EXPECT_EQ(string.draw(length_m), hull(corners)) << count;
  }
}

TEST(TautString, MoreCornersGiveWhatAllAtOnceGive) {
  std::uint64_t state = 12;
  TautString string;
  for (int i = 0; i < 50; ++i) {
    std::vector<DetourCorner> all;
    string.clear();
    for (int part = 0; part < 3; ++part) {
      for (const DetourCorner& c : somewhere(20, state)) {
        all.push_back(c);
        string.add(c);
      }
      EXPECT_EQ(string.draw(length_m), hull(all)) << i << ' ' << part;
    }
  }
}

TEST(TautString, NothingBesideThePathIsNotTouched) {
  TautString string;
  string.add({50.0, 0.0, 1});
  EXPECT_TRUE(string.draw(length_m).empty());
}

}  // namespace
}  // namespace sim
