// Where a row was measured: by GPS, by a recorded track, or along a street.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/scene/street_line.h"
#include "sim/survey/survey.h"
#include "sim/survey/track.h"
#include "tests/support/invented_site.h"

namespace sim {
namespace {

using testing::HasSubstr;

class Places : public testing::Test {
 protected:
  /// Node "n" stands at (0, 0). Mill Street comes from the west, 5 m south of it, and bends north
  /// at x = 80. Its ways meet at x = 40, the second drawn against the first.
  Survey read(const std::string& csv, const std::string& settings = "") {
    site_.folder.write("walk.csv", csv);
    site_.layer("streets.geojson",
                {feature(line({{-20, -5}, {40, -5}}), R"({"name":"Mill Street"})"),
                 feature(line({{80, 95}, {80, -5}, {40, -5}}), R"({"name":"Mill Street"})"),
                 feature(line({{0, 50}, {9, 50}}), R"({"name":"Other Lane"})")});
    return read_surveys(
        site_.import("[streets]\nfile = \"streets.geojson\"\n"
                     "[[survey]]\nfile = \"walk.csv\"\n" +
                     settings));
  }
  static void expect_at(const Measurement& m, double x, double y) {
    ASSERT_TRUE(m.place) << m.row;
    EXPECT_NEAR(m.place->x, origin_x_m + x, 1e-6) << m.row;
    EXPECT_NEAR(m.place->y, origin_y_m + y, 1e-6) << m.row;
  }
  static std::size_t noted(const Survey& survey, const std::string& code) {
    std::size_t count = 0;
    for (const Issue& issue : survey.issues) count += issue.code == code ? 1U : 0U;
    return count;
  }
  InventedSite site_;
};

// By hand: the node projects on the street 20 m from its start; the bend is 100 m from the start,
// 80 m from the node. A walker keeps 5 m from the centre line.
TEST_F(Places, AlongTheStreetWithSides) {
  const Survey survey = read(
      "street,along_m,side\n"
      "Mill Street,50,centre\n"
      "Mill Street,50,left\n"
      "Mill Street,50,right\n"
      "Mill Street,100,\n"
      "Mill Street,100,left\n"
      "Mill Street,100,right\n"
      "Mill Street,-30,\n"
      "Mill Street,190,\n"
      "Mill Street,250,\n");
  const auto& m = survey.measurements;
  ASSERT_EQ(m.size(), 9U);
  EXPECT_EQ(m[0].placed_by, PlacedBy::along_street);
  expect_at(m[0], 50, -5);
  expect_at(m[1], 50, 0);  // left of eastward is north
  expect_at(m[2], 50, -10);
  expect_at(m[3], 80, 15);  // 20 m past the bend
  expect_at(m[4], 75, 15);  // left of northward is west
  expect_at(m[5], 85, 15);
  expect_at(m[6], -30, -5);  // before the street begins, straight on
  expect_at(m[7], 80, 105);  // and a little beyond its end
  EXPECT_FALSE(m[8].place);  // but not 70 m beyond
  EXPECT_EQ(noted(survey, "beyond_the_street"), 1U);
}

TEST_F(Places, FeetAreInternational) {
  // 100 ft = 30.48 m exactly.
  expect_at(read("street,along_ft\nMill Street,100\n").measurements.at(0), 30.48, -5);
}

TEST_F(Places, DegreesOfAStreetPlaceAreFilledIn) {
  const auto m = read("street,along_m\nMill Street,20\n").measurements.at(0);
  // (500020, ...) lies 20 m east of the central meridian 33 W of UTM zone 25.
  ASSERT_TRUE(m.lon_deg);
  EXPECT_GT(*m.lon_deg, -33.0);
  EXPECT_NEAR(*m.lon_deg, -33.0, 3e-4);
}

TEST_F(Places, UnknownStreetNodeOrSideIsReported) {
  const Survey survey = read(
      "street,along_m,side,node\n"
      "Mil Street,50,,\n"
      "Mill Street,50,,x9\n"
      "Mill Street,,,\n"
      "Mill Street,50,upper,\n");
  EXPECT_FALSE(survey.measurements.at(0).place);
  EXPECT_FALSE(survey.measurements.at(1).place);
  EXPECT_FALSE(survey.measurements.at(2).place);
  expect_at(survey.measurements.at(3), 50, -5);
  for (const char* words : {"did you mean 'Mill Street'?", "node 'x9' is not in the site",
                            "no along_m or along_ft", "side 'upper'"}) {
    EXPECT_TRUE(std::any_of(survey.issues.begin(), survey.issues.end(), [&](const Issue& issue) {
      return issue.message.find(words) != std::string::npos;
    })) << words;
  }
}

TEST_F(Places, AddressesFromAFileOfPoints) {
  site_.layer("addresses.geojson",
              {feature(point(30, 8), R"({"addr:housenumber":"12","addr:street":"Mill Street"})"),
               feature(point(60, 8), R"({"addr:housenumber":"14a","addr:street":"Mill Street"})")});
  const Survey survey =
      read("address,connected\n12 Mill Street,yes\n\"mill street, 14A\",yes\n13 Mill Street,no\n",
           "addresses = \"addresses.geojson\"\n");
  expect_at(survey.measurements.at(0), 30, 8);
  EXPECT_EQ(survey.measurements[0].placed_by, PlacedBy::address);
  expect_at(survey.measurements.at(1), 60, 8);
  EXPECT_FALSE(survey.measurements.at(2).place);
  EXPECT_EQ(noted(survey, "address_unknown"), 1U);
}

// Plane geometry: on the straight line between the neighbours, by the number.
TEST_F(Places, HouseNumbersBetweenTwoAreInterpolatedOnTheirSide) {
  site_.layer("addresses.geojson",
              {feature(point(10, 8), R"({"address":"8 Mill Street"})"),
               feature(point(50, 16), R"({"address":"16 Mill Street"})"),
               feature(point(12, -18), R"({"address":"Mill Street 9"})"),
               feature(point(42, -18), R"({"address":"19 Mill Street"})"),
               feature(rectangle(80, 8, 10, 6), R"({"address":"24 Mill Street"})")});
  const Survey survey = read(
      "address,connected\n10 Mill Street,yes\n\"Mill Street, 13\",yes\n24 Mill Street,yes\n"
      "21 Mill Street,yes\n12 Other Lane,yes\n10a Mill Street,yes\n",
      "addresses = \"addresses.geojson\"\n");
  const auto& m = survey.measurements;
  expect_at(m.at(0), 20, 10);   // a quarter of (40, 8)
  expect_at(m.at(1), 24, -18);  // four tenths of 30 m, on the odd side
  expect_at(m.at(2), 85, 11);   // the middle of an outline
  for (const std::size_t row : {3U, 4U, 5U}) EXPECT_FALSE(m.at(row).place) << row;
  EXPECT_EQ(noted(survey, "address_interpolated"), 2U);
  EXPECT_EQ(noted(survey, "address_unknown"), 3U);
  // assets/defaults.csv: 10 m at an address, and a quarter of the gap more between two.
  EXPECT_DOUBLE_EQ(*m[2].accuracy_m, 10.0);
  EXPECT_DOUBLE_EQ(*m[1].accuracy_m, 10.0 + 0.25 * 30.0);
  EXPECT_TRUE(m[1].accuracy_assumed);
}

TEST_F(Places, AccuracyIsThatOfTheRowOrOfTheWayItWasPlaced) {
  const auto m = read(
                     "lon,lat,accuracy_m,street,along_m\n-33,40.0005,7,,\n-33,40.0005,,,\n"
                     ",,,Mill Street,50\n-33,40.0005,0,,\n-33,40.0005,-1,,\n")
                     .measurements;
  EXPECT_EQ(m.at(0).accuracy_m, 7.0);
  EXPECT_FALSE(m[0].accuracy_assumed);
  EXPECT_EQ(m[1].accuracy_m, 4.9);
  EXPECT_TRUE(m[1].accuracy_assumed);
  EXPECT_EQ(m[2].accuracy_m, 3.0);
  EXPECT_EQ(m[3].accuracy_m, 4.9) << "0 is what phones write where they know none";
  EXPECT_EQ(m[4].accuracy_m, 4.9);
}

TEST_F(Places, WhichWayAlongTheStreetCountsIsSaidOnce) {
  const Survey survey = read("street,along_m\nMill Street,50\nMill Street,60\n");
  EXPECT_EQ(noted(survey, "street_direction"), 1U);
  EXPECT_TRUE(std::any_of(survey.issues.begin(), survey.issues.end(), [](const Issue& issue) {
    return issue.message ==
           "distances along 'Mill Street' from node 'n' count positive to the east, where left is "
           "north";
  }));
}

TEST_F(Places, ImpossiblePositionsAreSetAsideAndTheirRowsStay) {
  std::string csv = "time,lon,lat,rsrp_dbm\n";
  for (int i = 0; i < 10; ++i) {
    csv += "2026-05-01T10:00:0" + std::to_string(i) + "Z," +
           (i == 4   ? "-33.01,40.0005"  // 850 m away and back within two seconds
            : i == 6 ? "-33,41"          // 110 km from the node
            : i == 8 ? "-200,40"
                     : "-33,40.0005") +
           ",-80\n";
  }
  const Survey survey = read(csv);
  ASSERT_EQ(survey.measurements.size(), 10U);
  for (std::size_t i = 0; i < 10; ++i) {
    const bool aside = i == 4 || i == 6 || i == 8;
    EXPECT_EQ(survey.measurements[i].place.has_value(), !aside) << i;
    EXPECT_EQ(survey.measurements[i].row, static_cast<std::int64_t>(i) + 1);
    EXPECT_EQ(survey.measurements[i].rsrp_dbm, -80.0) << "what was measured stays";
  }
  EXPECT_EQ(survey.measurements[4].set_aside, "speed_jump");
  EXPECT_EQ(survey.measurements[6].set_aside, "far_from_site");
  EXPECT_EQ(survey.measurements[8].set_aside, "not_on_earth");
  ASSERT_EQ(survey.set_aside.size(), 3U);
  for (const SetAside& aside : survey.set_aside) {
    EXPECT_EQ(aside.what, "position");
    EXPECT_EQ(aside.rows.size(), 1U);
    EXPECT_EQ(noted(survey, aside.code), 1U);
  }
}

TEST_F(Places, WithoutAFixTheTrackStepsIn) {
  site_.folder.write("walk.gpx",
                     "<gpx version=\"1.1\" creator=\"t\" "
                     "xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>"
                     "<trkpt lat=\"40.0005\" lon=\"-33\"><time>2026-05-01T10:00:00Z</time></trkpt>"
                     "</trkseg></trk></gpx>");
  const auto m =
      read("time,lon,lat\n2026-05-01T10:00:00Z,0,0\n", "track = \"walk.gpx\"\n").measurements;
  EXPECT_EQ(m.at(0).placed_by, PlacedBy::track);
  EXPECT_NEAR(*m[0].lat_deg, 40.0005, 1e-7);
}

TEST_F(Places, ZeroZeroIsNoFix) {
  const Survey survey = read("lon,lat\n0,0\n-33,40.0005\n,\n");
  ASSERT_EQ(survey.measurements.size(), 3U);
  EXPECT_FALSE(survey.measurements[0].place);
  EXPECT_EQ(noted(survey, "no_fix"), 1U);
  EXPECT_TRUE(survey.measurements[1].place);
  EXPECT_EQ(survey.measurements[1].placed_by, PlacedBy::gps);
  EXPECT_FALSE(survey.measurements[2].place) << "kept, without a place";
  EXPECT_EQ(noted(survey, "no_place"), 1U);
}

TEST_F(Places, PlacesThatCannotBeAreReported) {
  const Survey survey = read("lon,lat\n-33,95\n150,40\n");
  EXPECT_EQ(noted(survey, "not_on_earth"), 1U);
  EXPECT_EQ(noted(survey, "far_away"), 1U);
}

TEST_F(Places, NothingThatSaysWhereIsRefused) {
  EXPECT_THAT(refusal([&] { read("when,level\n1,-80\n"); }),
              HasSubstr("walk.csv:0: has no position: it needs lon and lat"));
}

const std::string track =
    "<?xml version=\"1.0\"?><gpx version=\"1.1\" creator=\"test\" "
    "xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>"
    "<trkpt lat=\"40.0000\" lon=\"-33.0000\"><time>2026-05-01T10:00:00Z</time></trkpt>"
    "<trkpt lat=\"40.0002\" lon=\"-33.0000\"><time>2026-05-01T10:00:20Z</time></trkpt>"
    "<trkpt lat=\"40.0004\" lon=\"-33.0000\"><time>2026-05-01T10:00:50Z</time></trkpt>"
    "<trkpt lat=\"40.0006\" lon=\"-33.0000\"><time>2026-05-01T10:01:21Z</time></trkpt>"
    "</trkseg></trk></gpx>";

TEST_F(Places, TrackLendsItsPositionsByTime) {
  site_.folder.write("walk.gpx", track);
  const Survey survey = read(
      "time,rsrp_dbm\n"
      "2026-05-01T10:00:05Z,-80\n"       // a quarter of the first 20 s
      "2026-05-01T10:00:20Z,-80\n"       // on a fix
      "2026-05-01T12:00:35+02:00,-80\n"  // half of a gap of 30 s, in another zone
      "2026-05-01T10:01:00Z,-80\n"       // in a gap of 31 s
      "2026-05-01T09:59:59Z,-80\n"       // before
      "2026-05-01T10:01:22Z,-80\n",      // after
      "track = \"walk.gpx\"\n");
  const CrsTransform to_map(Crs::wgs84(), Crs::parse("EPSG:32625", {}));
  const auto north = [&](double lat) { return to_map({-33.0, lat})->y; };
  const auto& m = survey.measurements;
  ASSERT_EQ(m.size(), 6U);
  EXPECT_EQ(m[0].placed_by, PlacedBy::track);
  EXPECT_NEAR(m[0].place->y, north(40.00005), 1e-3);
  EXPECT_NEAR(m[1].place->y, north(40.0002), 1e-6);
  EXPECT_NEAR(m[2].place->y, north(40.0003), 1e-3);
  for (const std::size_t row : {3U, 4U, 5U}) EXPECT_FALSE(m[row].place) << row;
  EXPECT_EQ(noted(survey, "not_on_track"), 1U) << "told once, with its rows";
}

TEST_F(Places, PositionsOfTheRowsGoBeforeTheTrack) {
  site_.folder.write("walk.gpx", track);
  const auto m = read("time,lon,lat\n2026-05-01T10:00:05Z,-33.0005,40\n", "track = \"walk.gpx\"\n")
                     .measurements.at(0);
  EXPECT_EQ(m.placed_by, PlacedBy::gps);
  EXPECT_LT(m.place->x, origin_x_m - 40.0);
}

TEST_F(Places, TrackWithoutTimesIsRefused) {
  const std::string path = site_.folder.write(
      "bare.gpx",
      "<gpx version=\"1.1\" creator=\"t\"><trk><trkseg><trkpt lat=\"40\" lon=\"-33\"/></trkseg>"
      "</trk></gpx>");
  EXPECT_THAT(refusal([&] { Track::read(path, Crs::wgs84()); }), HasSubstr("has no timed points"));
}

TEST(StreetLine, DistanceAlongIsThatOfTheNearestPoint) {
  const std::vector<StreetRecord> streets{{.name = "S", .line = {{0, 0}, {100, 0}, {100, 100}}}};
  const auto street = StreetLine::find(streets, "S", {10, 3});
  ASSERT_TRUE(street);
  EXPECT_DOUBLE_EQ(street->along_of({40, -7}), 40.0);
  EXPECT_DOUBLE_EQ(street->along_of({93, 30}), 130.0);
  EXPECT_DOUBLE_EQ(street->along_of({-50, 0}), 0.0);
  EXPECT_FALSE(StreetLine::find(streets, "T", {0, 0}));
}

TEST(StreetLine, OfTwoStreetsOfOneNameTheNearerIsMeant) {
  const std::vector<StreetRecord> streets{{.name = "S", .line = {{0, 0}, {50, 0}}},
                                          {.name = "S", .line = {{0, 900}, {50, 900}}}};
  EXPECT_DOUBLE_EQ(StreetLine::find(streets, "S", {0, 880})->at(10, 0).y, 900.0);
}

}  // namespace
}  // namespace sim
