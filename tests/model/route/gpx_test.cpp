// GPX as recorders write it, and as nobody should.
#include "model/route/gpx.hpp"

#include <gtest/gtest.h>

namespace agonic::route {
namespace {

const std::string kHead = R"(<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">)";

std::string refusal(const std::string& text) {
  const auto points = read_gpx(text);
  return points ? "taken" : points.problem().text();
}

TEST(Gpx, PointsComeWithTheirPlaceHeightTimeAndName) {
  const auto points = read_gpx(kHead + R"(
<metadata><name>a day</name><time>2020-01-01T00:00:00Z</time></metadata>
<trk><name>track</name><trkseg>
<trkpt lat="46.5" lon="-7.25"><ele>1200.5</ele><time>2026-06-15T08:00:00Z</time><name>A &amp; B</name>
<extensions><foo xmlns="urn:other"><time>1900-01-01</time><trkpt lat="1" lon="1"/></foo></extensions></trkpt>
<trkpt lon="7.26" lat="46.51"/></trkseg></trk></gpx>)");
  ASSERT_TRUE(points) << points.problem().text();
  ASSERT_EQ(points->size(), 2u);
  const GpxPoint& first = (*points)[0];
  EXPECT_EQ(first.lat, "46.5");
  EXPECT_EQ(first.lon, "-7.25");
  EXPECT_EQ(first.ele, "1200.5");
  EXPECT_EQ(first.time, "2026-06-15T08:00:00Z");
  EXPECT_EQ(first.name, "A & B");
  EXPECT_EQ(first.part, GpxPart::track);
  EXPECT_EQ(first.line, 5u);
  EXPECT_EQ((*points)[1].lat, "46.51");
  EXPECT_TRUE((*points)[1].time.empty());
}

TEST(Gpx, VersionOneZeroAndOtherPrefixesAreRead) {
  const auto points =
      read_gpx(R"(<g:gpx xmlns:g="http://www.topografix.com/GPX/1/0"><g:wpt lat="1" lon="2"/></g:gpx>)");
  ASSERT_TRUE(points) << points.problem().text();
  EXPECT_EQ((*points)[0].part, GpxPart::waypoints);
}

TEST(Gpx, EntitiesThatMultiplyAreRefusedBeforeTheyDo) {
  std::string bomb = "<?xml version=\"1.0\"?><!DOCTYPE gpx [<!ENTITY a \"aaaaaaaaaa\">";
  for (char c = 'b'; c <= 'j'; ++c) {
    bomb += std::string("<!ENTITY ") + c + " \"";
    for (int i = 0; i < 10; ++i) bomb += std::string("&") + static_cast<char>(c - 1) + ";";
    bomb += "\">";
  }
  bomb += "]><gpx><wpt lat=\"1\" lon=\"1\"><name>&j;</name></wpt></gpx>";
  EXPECT_NE(refusal(bomb).find("document type"), std::string::npos) << refusal(bomb);
  EXPECT_NE(refusal("<!DOCTYPE gpx SYSTEM \"file:///etc/passwd\"><gpx/>").find("document type"), std::string::npos);
  EXPECT_NE(refusal("<gpx><wpt lat=\"1\" lon=\"1\"><name>&unknown;</name></wpt></gpx>"), "taken");
}

TEST(Gpx, DeepNestingIsRefused) {
  std::string deep = kHead;
  for (int i = 0; i < 200000; ++i) deep += "<extensions>";
  EXPECT_NE(refusal(deep).find("nested deeper"), std::string::npos) << refusal(deep);
}

TEST(Gpx, EndlessTextsAndAttributesAreRefused) {
  const std::string endless(2'000'000, 'x');
  EXPECT_NE(refusal(kHead + "<wpt lat='1' lon='1'><name>" + endless + "</name></wpt></gpx>").find("too long"),
            std::string::npos);
  EXPECT_NE(refusal(kHead + "<wpt lat='" + endless + "' lon='1'/></gpx>").find("too long"), std::string::npos);
}

TEST(Gpx, ATruncatedFileIsRefusedWithItsLine) {
  const std::string whole = kHead + "\n<wpt lat='1' lon='2'><name>a</name></wpt>\n</gpx>\n";
  ASSERT_TRUE(read_gpx(whole));
  for (std::size_t cut = 0; cut + 2 < whole.size(); ++cut) EXPECT_FALSE(read_gpx(whole.substr(0, cut))) << cut;
  EXPECT_NE(refusal(whole.substr(0, whole.size() - 5)).find("line 4"), std::string::npos)
      << refusal(whole.substr(0, whole.size() - 5));
}

TEST(Gpx, OtherXmlAndNoPointsAreRefused) {
  EXPECT_NE(refusal("<kml><wpt lat='1' lon='1'/></kml>").find("not gpx"), std::string::npos);
  EXPECT_NE(refusal("<gpx xmlns='urn:other'><wpt lat='1' lon='1'/></gpx>").find("not gpx"), std::string::npos);
  EXPECT_NE(refusal(kHead + "</gpx>").find("no point"), std::string::npos);
  EXPECT_NE(refusal("\xFF\xFE\x00\x01"), "taken");
  EXPECT_NE(refusal(kHead + "<wpt lat='1' lon='1'><name>\xC3\x28</name></wpt></gpx>"), "taken") << "no UTF-8";
}

}  // namespace
}  // namespace agonic::route
