// Boxes as RFC 7946 section 5 writes them, grids over them, and what is refused of a query.
#include "model/chart/box.hpp"

#include "tests/model/chart/chart_fixture.hpp"

namespace agonic::chart {
namespace {

TEST(Box, IsReadAsRfc7946HasIt) {
  const auto alps = parse_box("5,45,11.5,48");
  ASSERT_TRUE(alps);
  EXPECT_EQ(alps->west, 5);
  EXPECT_EQ(alps->north, 48);
  // RFC 7946 5.2: Fiji, across the antimeridian.
  const auto fiji = parse_box("177.0, -20.0, -178.0, -16.0");
  ASSERT_TRUE(fiji);
  EXPECT_EQ(fiji->west, 177);
  EXPECT_EQ(fiji->east, 182);
  const auto world = parse_box("0,-90,360,90");
  ASSERT_TRUE(world);
  EXPECT_TRUE(world->whole_circle());
  const auto pacific = parse_box("190,-10,250,10");
  ASSERT_TRUE(pacific);
  EXPECT_EQ(pacific->west, -170);
  EXPECT_EQ(pacific->east, -110);
}

TEST(Box, IsRefusedWithWhatIsWrong) {
  for (const char* text :
       {"", "1,2,3", "1,2,3,4,5", "a,b,c,d", "1,2,3,", "1;2;3;4", "0,-91,10,10", "0,0,10,91", "-181,0,10,10",
        "0,0,361,10", "0,10,10,5", "5,0,5,10", "0,0,0.001,10", "0,0,10,0.001", "-180,0,360,10", "nan,0,1,1"}) {
    const auto box = parse_box(text);
    ASSERT_FALSE(box) << text;
    EXPECT_EQ(box.problem().field, "bbox");
    EXPECT_FALSE(box.problem().remedy.empty());
  }
}

TEST(Box, HasAGridThatEndsAtItsEdges) {
  const Box box{-10, 40, 12, 51};
  EXPECT_EQ(rows(box, 2).front(), 40);
  EXPECT_EQ(rows(box, 2).back(), 51);
  EXPECT_EQ(rows(box, 2).size(), 7U);  // 40 42 44 46 48 50 51
  EXPECT_EQ(columns(box, 2).size(), 12U);
}

TEST(Box, IsCutAtTheAntimeridianWithAColumnOnIt) {
  const auto cut = parts({170, -20, 195, 0}, 2);
  ASSERT_EQ(cut.size(), 2U);
  EXPECT_EQ(cut[0].lon_deg.front(), 170);
  EXPECT_EQ(cut[0].lon_deg.back(), 180);
  EXPECT_EQ(cut[1].lon_deg.front(), -180);
  EXPECT_EQ(cut[1].lon_deg.back(), -165);
  EXPECT_EQ(cut[1].turn_deg, 360);
  EXPECT_EQ(parts({170, -20, 180, 0}, 3).size(), 1U);
  EXPECT_EQ(parts({-180, -90, 180, 90}, 2).size(), 1U);
}

TEST(ChartQuery, RefusesWithFieldAndRemedy) {
  const std::vector<std::pair<std::map<std::string, std::string>, std::string>> cases{
      {{}, "date"},
      {{{"date", "26"}}, "date"},
      {{{"date", "1500"}}, "date"},
      {{{"date", "2026"}, {"bbox", "1,2"}}, "bbox"},
      {{{"date", "2026"}, {"quantity", "deklination"}}, "quantity"},
      {{{"date", "2026"}, {"model", "nosuch"}}, "model"},
      {{{"date", "2026"}, {"height_m", "1e9"}}, "height_m"},
      {{{"date", "2026"}, {"interval", "0"}}, "interval"},
      {{{"date", "2026"}, {"interval", "x"}}, "interval"},
      {{{"date", "2026"}, {"interval", "0.1"}}, "interval"},  // 3600 lines round the world
      {{{"date", "2026"}, {"step_deg", "0.01"}}, "step_deg"},
      {{{"date", "2026"}, {"step_deg", "-1"}}, "step_deg"},
      {{{"date", "2026"}, {"zoom", "15"}}, "zoom"},
      {{{"date", "2026"}, {"zoom", "3"}, {"step_deg", "1"}}, "zoom"},
      {{{"date", "2026"}, {"width_px", "100000"}}, "width_px"},
  };
  for (const auto& [given, field] : cases) {
    const auto made = try_chart(given);
    ASSERT_FALSE(made) << field;
    EXPECT_EQ(made.problem().field, field);
    EXPECT_FALSE(made.problem().remedy.empty()) << field;
  }
}

}  // namespace
}  // namespace agonic::chart
