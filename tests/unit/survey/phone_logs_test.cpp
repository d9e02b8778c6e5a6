// Surveys as phones and notebooks write them, read with no hand editing.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "sim/gis/vector_file.h"
#include "sim/survey/survey.h"
#include "sim/survey/survey_time.h"
#include "sim/survey/survey_units.h"
#include "sim/survey/survey_words.h"
#include "sim/survey/written_column.h"
#include "tests/support/invented_site.h"

namespace sim {
namespace {

using testing::HasSubstr;

class PhoneLogs : public testing::Test {
 protected:
  ImportedSite import(const std::string& csv, const std::string& settings = "") {
    site_.folder.write("walk.csv", csv);
    site_.layer("streets.geojson",
                {feature(line({{-20, -5}, {200, -5}}), R"({"name":"Mill Street"})")});
    return site_.import("[streets]\nfile = \"streets.geojson\"\n[[survey]]\nfile = \"walk.csv\"\n" +
                        settings);
  }
  Survey read(const std::string& csv, const std::string& settings = "") {
    return read_surveys(import(csv, settings));
  }
  static std::string message(const Survey& survey, const std::string& code) {
    for (const Issue& issue : survey.issues) {
      if (issue.code == code) return issue.message;
    }
    return "";
  }
  InventedSite site_;
};

TEST_F(PhoneLogs, ForeignHeadersUnitsAndDecimalCommas) {
  const Survey survey = read(
      "Date/Time;Latitude;Longitude;GPS Accuracy (ft);NR-SS-RSRP (dBm);Download Speed (Gbps);"
      "Upload (Mbps);Ping (ms);Device\n"
      "13.05.2026 08:00;40,0005;-33,0001;10;-72,5;0,626;79;16;X\n",
      "time_zone = \"America/New_York\"\n");
  const Measurement& m = survey.measurements.at(0);
  EXPECT_EQ(m.time, "2026-05-13T12:00:00Z") << "New York is four hours behind UTC in May";
  EXPECT_EQ(m.lat_deg, 40.0005);
  EXPECT_EQ(m.lon_deg, -33.0001);
  EXPECT_DOUBLE_EQ(*m.accuracy_m, 3.048);  // the international foot
  EXPECT_EQ(m.rsrp_dbm, -72.5);
  EXPECT_DOUBLE_EQ(*m.downlink_mbps, 626.0);
  EXPECT_EQ(m.uplink_mbps, 79.0);
  EXPECT_EQ(m.latency_ms, 16.0);
}

TEST_F(PhoneLogs, DateAndTimeMayStandInTwoColumns) {
  const std::string csv =
      "date,time,lon,lat\n2026-05-01,10:00:11,-33,40\n05/13/2026,2:15 PM,-33,40\n";
  const auto m = read(csv).measurements;
  EXPECT_EQ(m.at(0).time, "2026-05-01T10:00:11Z");
  EXPECT_EQ(m.at(1).time, "2026-05-13T14:15:00Z") << "13 is no month, so the month stands first";
  EXPECT_EQ(written_dates(import(csv)), (std::vector<std::string>{"2026-05-01", "2026-05-13"}));
}

TEST_F(PhoneLogs, AnOrderOfDayAndMonthThatNothingTellsIsAskedFor) {
  const std::string csv = "time,lon,lat\n5/6/2026 9:00 am,-33,40\n7/7/2026 9:00,-33,40\n";
  const Survey unknown = read(csv);
  EXPECT_EQ(unknown.measurements.at(0).time, "");
  EXPECT_EQ(unknown.measurements[1].time, "2026-07-07T09:00:00Z") << "alike either way";
  EXPECT_THAT(message(unknown, "date_order_unknown"),
              HasSubstr("in '5/6/2026 9:00 am' either number may be the month"));
}

TEST_F(PhoneLogs, ATimeWithoutItsDateIsToldOnce) {
  const Survey survey = read("time,lon,lat\n10:00:11,-33,40\n10:00:12,-33,40\n");
  EXPECT_THAT(message(survey, "time_unreadable"),
              HasSubstr("time of 2 rows was set aside (rows 1, 2): '10:00:11' is not understood; "
                        "write 2026-05-01T10:00:00Z, with its date, or add a column date"));
}

// By hand: the street runs east, so left is north; 1000 ft are 304.8 m.
TEST_F(PhoneLogs, SidesAndStreetsAsPeopleWriteThem) {
  const auto m = read(
                     "Street,along_ft,Side,connected\n"
                     "mill street,100,L,Y\n"
                     "Mill Street,100,Right side,n\n"
                     "Mill Street,100,center,y\n"
                     "Mill Street,100,N,\n"
                     "Mill Street,100,south side,\n"
                     "Mill Street,100,east,\n")
                     .measurements;
  const std::vector<double> north{0.0, -10.0, -5.0, 0.0, -10.0, -5.0};
  ASSERT_EQ(m.size(), north.size());
  for (std::size_t i = 0; i < m.size(); ++i) {
    ASSERT_TRUE(m[i].place) << i;
    EXPECT_NEAR(m[i].place->x, origin_x_m + 30.48, 1e-6) << i;
    EXPECT_NEAR(m[i].place->y, origin_y_m + north[i], 1e-6) << i;
  }
  EXPECT_EQ(m[0].connected, true);
  EXPECT_EQ(m[1].connected, false);
  EXPECT_EQ(m[1].side, "right") << "as compare labels it";
}

TEST_F(PhoneLogs, OfSeveralLayersThoseWithMeasurementsAreRead) {
  const auto layer = [](const std::string& name, const std::string& field,
                        std::initializer_list<double> values) {
    OutputLayer made{.name = name, .fields = {{field}}, .features = {}};
    for (const double value : values) {
      made.features.push_back({PointSet{{{origin_x_m, origin_y_m, 0.0}}}, {value}});
    }
    return made;
  };
  const std::string path = site_.folder.file("all.gpkg");
  const auto survey = [&] {
    return read_surveys(site_.import("[[survey]]\nfile = \"all.gpkg\"\n"));
  };
  const Crs crs = Crs::parse("EPSG:32625", {});
  write_geopackage(path, crs,
                   {layer("lamps", "height", {8, 8, 8}), layer("walk", "rsrp_dbm", {-80, -90})});
  const Survey two = survey();
  ASSERT_EQ(two.measurements.size(), 2U);
  EXPECT_EQ(two.measurements[1].rsrp_dbm, -90.0);
  EXPECT_THAT(message(two, "layers_left_out"),
              HasSubstr("of its layers (lamps, walk) only walk holds anything measured"));
  std::filesystem::remove(path);
  write_geopackage(path, crs, {layer("lamps", "height", {8}), layer("trees", "height", {9})});
  EXPECT_THAT(refusal([&] { survey(); }), HasSubstr("has several layers (lamps, trees), and none"));
}

TEST_F(PhoneLogs, AHouseNumberPastTheKnownOnesIsSaid) {
  site_.layer("doors.geojson",
              {feature(point(10, 0), R"({"housenumber":"3","street":"Mill Street"})"),
               feature(point(30, 0), R"({"housenumber":"11","street":"Mill Street"})")});
  const auto told = [&](const std::string& address) {
    return message(
        read("address,rsrp_dbm\n" + address + ",-80\n", "addresses = \"doors.geojson\"\n"),
        "address_unknown");
  };
  EXPECT_THAT(told("99 Mill Street"),
              HasSubstr("the odd numbers known of mill street run from 3 to 11"));
  EXPECT_THAT(told("4 Mill Street"), HasSubstr("no even number is known of mill street"));
}

TEST_F(PhoneLogs, ASurveyOfNoRowSaysSo) {
  EXPECT_THAT(message(read("time,lon,lat,rsrp_dbm\n"), "no_rows"), HasSubstr("no row"));
}

TEST_F(PhoneLogs, RowsOffTheTrackSayHowFarItReaches) {
  site_.folder.write("walk.gpx",
                     "<?xml version=\"1.0\"?><gpx version=\"1.1\" creator=\"watch\" "
                     "xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>"
                     "<trkpt lat=\"40\" lon=\"-33\"><time>2026-05-01T10:00:00Z</time></trkpt>"
                     "<trkpt lat=\"40\" "
                     "lon=\"-33\"><time>2026-05-01T10:00:20Z</time></trkpt></trkseg></trk></gpx>");
  const Survey survey = read("time,rsrp_dbm\n2026-05-01 10:00:05,-80\n",
                             "track = \"walk.gpx\"\ntime_zone = \"Europe/Lisbon\"\n");
  EXPECT_THAT(message(survey, "not_on_track"),
              HasSubstr("no fix within 30 s of 2026-05-01T09:00:05Z; it runs from "
                        "2026-05-01T10:00:00Z to 2026-05-01T10:00:20Z: is the time_zone"));
}

TEST(DecimalCommas, AreReadWhereTheyCannotPartThousands) {
  const auto rate = [](const char* cell) { return number_from_cell(cell, Quantity::rate, 1.0); };
  EXPECT_DOUBLE_EQ(rate("40,3786534").value, 40.3786534);
  EXPECT_DOUBLE_EQ(rate("0,501").value, 0.501);
  EXPECT_DOUBLE_EQ(rate("7,5 Gbps").value, 7500.0);
  EXPECT_EQ(rate("1,000").kind, CellNumber::Kind::not_a_number) << "a thousand, or one";
  EXPECT_EQ(number_from_cell("1,000", Quantity::length, 0.3048).kind,
            CellNumber::Kind::not_a_number)
      << "not one foot";
  EXPECT_EQ(rate("1,234.5").kind, CellNumber::Kind::not_a_number);
}

}  // namespace
}  // namespace sim
