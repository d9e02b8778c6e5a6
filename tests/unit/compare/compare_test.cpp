// Groups made by hand, and what is said of them.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "sim/compare/comparison.h"
#include "sim/compare/grouping.h"

namespace sim {
namespace {

/// A row 1 m on from the one before it, as a walk of one metre a second logs them.
ComparedRow row_at(const std::string& group, double distance_m, double rate, bool linked = true) {
  ComparedRow row{.group = group, .walk = group, .place = Xy{distance_m, 0.0}};
  row.situation = "outdoor";
  row.distance_m = distance_m;
  row.sight = InSight::in;
  if (linked) row.measured[Measure::downlink] = rate;
  row.linked = linked;
  return row;
}

ComparedSite site_of(const std::string& name, std::vector<ComparedRow> rows,
                     double frequency_ghz = 28.0) {
  ComparedSite site{.name = name, .rows = std::move(rows), .has_node = true};
  site.radios = {{name, {frequency_ghz, 100.0}}};
  return site;
}

/// Rows every metre from `from_m` on; their shadowing forgets itself over 10 m, as TR 38.901
/// section 7.4.4 has it.
std::vector<ComparedRow> walk(const std::string& group, double from_m, double to_m, double offset,
                              std::uint64_t seed) {
  std::mt19937_64 engine(seed);
  std::normal_distribution<double> normal;
  const double rho = std::exp(-1.0 / 10.0);
  double shadow = normal(engine);
  std::vector<ComparedRow> rows;
  for (double d = from_m; d < to_m; d += 1.0) {
    rows.push_back(row_at(group, d, 800.0 - 1.5 * d + offset + 60.0 * shadow));
    shadow = rho * shadow + std::sqrt(1.0 - rho * rho) * normal(engine);
  }
  return rows;
}

std::vector<std::string> codes(const Comparison& c) {
  std::vector<std::string> list;
  for (const CompareWarning& w : c.warnings) list.push_back(w.code);
  return list;
}

TEST(Stretches, AWalkOfAMetreASecondIsFewSamples) {
  const auto stretches = stretches_of(walk("a", 0.0, 300.0, 0.0, 1), 50.0, 20.0);
  // 21 m from the first row begins another, and so does each bin of 50 m.
  ASSERT_EQ(stretches.size(), 18U);
  EXPECT_EQ(stretches[0].rows, 21U);
  EXPECT_EQ(stretches[2].rows, 8U);
  EXPECT_EQ(stretches[2].like.bin, 0);
  EXPECT_EQ(stretches[3].like.bin, 1);
}

TEST(Stretches, RowsWithoutALinkCountAsLostAndNotAsSlow) {
  auto lost = row_at("a", 12.0, 0.0, false);
  lost.measured[Measure::downlink] = 3.0;  // of another layer
  const auto stretches = stretches_of({row_at("a", 10.0, 500.0), lost}, 50.0, 20.0);
  ASSERT_EQ(stretches.size(), 1U);
  EXPECT_DOUBLE_EQ(*stretches[0].measured[Measure::downlink], 500.0);
  EXPECT_DOUBLE_EQ(*stretches[0].linked, 0.5);
}

// What the stretches are for: rows a metre apart share their shadowing, so an interval of rows
// taken as independent would miss the truth most of the time. 120 trials of 0.95 vary by 2 %; what
// the stretches still share takes a few per cent more.
TEST(Stretches, KeepIntervalsHonestOverCorrelatedRows) {
  constexpr int trials = 120;
  int held = 0, held_by_rows = 0;
  for (int t = 0; t < trials; ++t) {
    std::vector<ComparedRow> rows;
    for (int w = 0; w < 3; ++w) {
      auto one = walk("a", 100.0, 150.0, 0.0, 1000 + static_cast<unsigned>(10 * t + w));
      for (ComparedRow& row : one) {
        row.walk += std::to_string(w);
        *row.measured[Measure::downlink] += 1.5 * *row.distance_m;  // level: 800 everywhere
      }
      rows.insert(rows.end(), one.begin(), one.end());
    }
    std::vector<double> values, of_rows;
    for (const Stretch& s : stretches_of(rows, 50.0, 20.0)) {
      values.push_back(*s.measured[Measure::downlink]);
    }
    for (const ComparedRow& row : rows) of_rows.push_back(*row.measured[Measure::downlink]);
    const BootstrapSettings settings{.draws = 300, .seed = 2, .share = 0.95};
    const ConfidenceInterval i = median_interval(values, settings);
    const ConfidenceInterval naive = median_interval(of_rows, settings);
    held += i.low <= 800.0 && 800.0 <= i.high ? 1 : 0;
    held_by_rows += naive.low <= 800.0 && 800.0 <= naive.high ? 1 : 0;
  }
  RecordProperty("stretches", std::to_string(held / static_cast<double>(trials)));
  RecordProperty("rows", std::to_string(held_by_rows / static_cast<double>(trials)));
  EXPECT_GE(held, 0.86 * trials);
  EXPECT_LE(held_by_rows, 0.70 * trials);
}

TEST(Compare, LikeWithLikeDespiteUnequalDistances) {
  // A measured near, B far; at one distance B is 100 faster.
  std::vector<ComparedRow> a, b;
  for (unsigned w = 0; w < 4; ++w) {
    for (auto [rows, group, from, to, offset] :
         {std::tuple{&a, "A", 0.0, 200.0, 0.0}, std::tuple{&b, "B", 100.0, 300.0, 100.0}}) {
      for (ComparedRow& row : walk(group, from, to, offset, 50 + w)) {
        row.walk += std::to_string(w);
        rows->push_back(std::move(row));
      }
    }
  }
  const Comparison c = compare({site_of("A", a), site_of("B", b)}, "site", {});
  ASSERT_EQ(c.contrasts.size(), 1U);
  const Difference& d = c.contrasts[0].differences[Measure::downlink];
  EXPECT_GT(d.crude, 0.0) << "A seems faster";
  ASSERT_TRUE(d.shown());
  EXPECT_LT(d.interval.low, -100.0);
  EXPECT_GT(d.interval.high, -100.0);
  EXPECT_LT(d.effect, 0.0) << "and is slower";
  EXPECT_EQ(d.strata, 2U);
  EXPECT_THAT(codes(c), testing::Contains("unlike_distances"));
}

TEST(Compare, FewSamplesAreWarnedOfAndTellNoDifference) {
  const Comparison c = compare({site_of("A", {row_at("A", 30, 500), row_at("A", 80, 400)}),
                                site_of("B", walk("B", 0, 300, 0, 1))},
                               "site", {});
  EXPECT_FALSE(c.contrasts.at(0).differences[Measure::downlink].told());
  EXPECT_THAT(codes(c), testing::Contains("few_stretches"));
  const MeasuredCell* all = c.groups[0].measured_in({std::nullopt, std::nullopt, ""});
  ASSERT_NE(all, nullptr);
  EXPECT_TRUE(std::isnan(all->middles[Measure::downlink].of_median.low));
}

TEST(Compare, MixedBandsAreWarnedOf) {
  const Comparison c = compare(
      {site_of("A", walk("A", 0, 300, 0, 1), 28.0), site_of("B", walk("B", 0, 300, 0, 2), 39.0)},
      "site", {});
  EXPECT_THAT(codes(c), testing::Contains("mixed_bands"));
}

TEST(Compare, OneGroupIsShownByItself) {
  const Comparison c = compare({site_of("A", walk("A", 0, 300, 0, 1))}, "site", {});
  EXPECT_EQ(c.groups.size(), 1U);
  EXPECT_TRUE(c.contrasts.empty());
  EXPECT_THAT(codes(c), testing::Contains("one_group"));
}

TEST(Compare, ASiteWithoutSurveyShowsItsPrediction) {
  ComparedSite site = site_of("A", {});
  for (int d = 5; d < 300; d += 5) {
    PredictedPlace place{.group = "A", .distance_m = static_cast<double>(d), .sight = InSight::in};
    place.p_hold = 1.0 / (1.0 + std::exp((d - 150.0) / 20.0));
    place.predicted[Measure::downlink] = 900.0 - d;
    site.places.push_back(place);
  }
  const Comparison c = compare({site}, "site", {});
  ASSERT_EQ(c.groups.size(), 1U);
  EXPECT_THAT(codes(c), testing::Contains("no_survey"));
  const auto& edges = c.groups[0].edges;
  ASSERT_FALSE(edges.empty());
  EXPECT_EQ(edges[0].source, EdgeOf::Source::predicted);
  ASSERT_TRUE(edges[0].edges.has_value());
  // The places were made from a logistic curve: its middle, and 20 ln 9 to either side; they stand
  // 5 m apart.
  EXPECT_NEAR(edges[0].edges->edges[1].distance_m, 150.0, 1.0);
  EXPECT_NEAR(edges[0].edges->edges[0].distance_m, 150.0 - 20.0 * std::log(9.0), 5.0);
  EXPECT_NEAR(edges[0].edges->edges[2].distance_m, 150.0 + 20.0 * std::log(9.0), 5.0);
}

TEST(Compare, CarAndSightAreSetAgainstEachOtherWithinAGroup) {
  std::vector<ComparedRow> rows;
  for (unsigned w = 0; w < 8; ++w) {
    for (ComparedRow& row : walk("A", 0, 200, 0, 70 + w)) {
      row.walk += std::to_string(w);
      if (w % 2 == 1) {
        row.situation = "in_vehicle";
        *row.measured[Measure::downlink] -= 200.0;
      }
      rows.push_back(std::move(row));
    }
  }
  const Comparison c = compare({site_of("A", rows)}, "site", {});
  ASSERT_EQ(c.contrasts.size(), 1U);
  EXPECT_EQ(c.contrasts[0].kind, Contrast::Kind::car);
  const Difference& d = c.contrasts[0].differences[Measure::downlink];
  ASSERT_TRUE(d.shown());
  EXPECT_LT(d.interval.low, 200.0);
  EXPECT_GT(d.interval.high, 200.0);
}

TEST(Compare, EdgesThatNobodyMeasuredSaySo) {
  auto rows = walk("A", 0, 200, 0, 1);
  const Comparison held = compare({site_of("A", rows)}, "site", {});
  EXPECT_FALSE(held.groups[0].edges.at(0).edges.has_value());
  EXPECT_THAT(held.groups[0].edges[0].why_not, testing::HasSubstr("held throughout"));
  rows.push_back(row_at("A", 220.0, 0.0, false));
  const Comparison few = compare({site_of("A", rows)}, "site", {});
  EXPECT_THAT(few.groups[0].edges.at(0).why_not, testing::HasSubstr("too few to say"));
}

TEST(Compare, WithoutANodeAllDistancesAreTakenTogether) {
  auto rows = walk("A", 0, 200, 0, 1);
  for (ComparedRow& row : rows) {
    row.distance_m.reset();
    row.sight = InSight::unknown;
  }
  ComparedSite site = site_of("A", rows);
  site.radios.clear();
  const Comparison c = compare({site}, "site", {});
  EXPECT_EQ(c.bins, 0);
  EXPECT_THAT(codes(c), testing::Contains("no_distance"));
  const MeasuredCell* all = c.groups[0].measured_in({std::nullopt, std::nullopt, ""});
  ASSERT_NE(all, nullptr);
  EXPECT_EQ(all->middles[Measure::downlink].stretches, 10U);  // 200 m by 21 rows
}

TEST(Compare, RowsWithoutALabelAreCountedAndLeftOut) {
  auto rows = walk("A", 0, 100, 0, 1);
  rows[0].group.clear();
  const Comparison c = compare({site_of("A", rows)}, "operator", {});
  EXPECT_EQ(c.unlabelled_rows, 1U);
  EXPECT_EQ(c.groups[0].rows, 99U);
  EXPECT_THAT(codes(c), testing::Contains("unlabelled"));
}

TEST(Grouping, NumbersAreInOrderOfSizeAndWordsAreColumns) {
  EXPECT_TRUE(label_before("9", "10"));
  EXPECT_TRUE(label_before("63", "run131.csv"));
  EXPECT_TRUE(label_before("2026-04-30", "2026-05-01"));
  EXPECT_EQ(Grouping::from("run").by, Grouping::By::run);
  EXPECT_EQ(Grouping::from("operator").by, Grouping::By::column);
  EXPECT_EQ(Grouping::from("operator").words(), "operator");
}

}  // namespace
}  // namespace sim
