// Files of sightings to rows: delimiters, decimal marks, JSON, and what is refused.
#include "model/sightings/table.hpp"

#include <gtest/gtest.h>

namespace agonic::sightings {
namespace {

Parameters options(std::map<std::string, std::string, std::less<>> values = {}) {
  return {std::move(values), Writer::program};
}

TEST(SightingsCsv, ReadsRowsWithTheirLines) {
  const auto rows =
      read_csv("\xEF\xBB\xBFid,azimuth,note,known_azimuth\r\n\r\na,100,\"x\ny\",\"97.5\"\r\nb, 90 ,,\n", options());
  ASSERT_TRUE(rows) << rows.problem().text();
  ASSERT_EQ(rows->size(), 2u);
  EXPECT_EQ((*rows)[0].row, 1u);
  EXPECT_EQ((*rows)[0].line, 3u);
  EXPECT_EQ((*rows)[0][Column::known_azimuth], "97.5");
  EXPECT_EQ((*rows)[1].line, 5u);
  EXPECT_EQ((*rows)[1][Column::azimuth], "90");
  EXPECT_EQ((*rows)[1].mark, '.');
}

TEST(SightingsCsv, TellsSemicolonsAndDecimalCommas) {
  const auto rows = read_csv("id;azimuth;known_azimuth\na;100,5;97\n", options());
  ASSERT_TRUE(rows);
  EXPECT_EQ((*rows)[0][Column::azimuth], "100,5");
  EXPECT_EQ((*rows)[0].mark, ',');
  EXPECT_EQ(read_csv("azimuth;line\n100,5;a\n", options({{"decimal", "point"}}))->at(0).mark, '.');
  EXPECT_EQ(read_csv("azimuth\tline\n100.5\ta\n", options())->at(0)[Column::line], "a");
  EXPECT_EQ(read_csv("azimuth;dip\n100,5;3.5\n", options()).problem().field, "decimal");
}

TEST(SightingsCsv, RefusesABadRowByItselfAndABadFileAsAWhole) {
  const auto rows = read_csv("id,azimuth\na,1,2\nb\nc,3\nd,\"4\"5\n", options());
  ASSERT_TRUE(rows);
  EXPECT_TRUE((*rows)[0].problem && (*rows)[1].problem && (*rows)[3].problem);
  EXPECT_FALSE((*rows)[2].problem);
  for (const char* text : {"", "\n\n", "azimuth,azimuth\n1,2\n", "id,azimuth\na,\"1\n", "Azimuth\n1\n",
                           "known-azimuth\n1\n", "known_azimut\n1\n"})
    EXPECT_FALSE(read_csv(text, options())) << text;
  EXPECT_EQ(read_csv("known_azimut\n1\n", options()).problem().remedy.find("Write it as known_azimuth"), 0u);
  EXPECT_EQ(read_csv("id\na\n", options()).problem().code, Code::columns_missing);
  EXPECT_EQ(read_csv("dip\n1\n", options({{"delimiter", "pipe"}})).problem().field, "delimiter");
  EXPECT_EQ(read_csv("dip\n1\n", options({{"decimal", "dot"}})).problem().field, "decimal");
  std::string many = "azimuth\n";
  for (std::size_t i = 0; i <= kMostRows; ++i) many += "1\n";
  EXPECT_EQ(read_csv(many, options()).problem().code, Code::too_large);
}

TEST(SightingsJson, ReadsObjectsAndDefaults) {
  Parameters given = options({{"place", "1 2"}});
  const auto rows = read_json(
      R"({"defaults": {"place": "3 4", "set_declination": 0}, "sightings": [{"azimuth": 100.25, "backsight": true, "line": null, "own": [1]}]})",
      given);
  ASSERT_TRUE(rows) << rows.problem().text();
  EXPECT_EQ((*rows)[0][Column::azimuth], "100.25");
  EXPECT_EQ((*rows)[0][Column::backsight], "yes");
  EXPECT_EQ((*rows)[0][Column::line], "");
  EXPECT_EQ(given.get("place"), "1 2");  // what the call says comes first
  EXPECT_EQ(given.get("set_declination"), "0");
  EXPECT_EQ(read_json("[{}]", given)->size(), 1u);
}

TEST(SightingsJson, RefusesWhatIsNone) {
  Parameters given = options();
  const std::string deep = std::string(40, '[') + std::string(40, ']');
  for (const std::string& text :
       {std::string("{"), std::string("3"), std::string("{}"), std::string(R"({"sightings":{}})"),
        std::string(R"({"sightings":[],"extra":1})"), std::string(R"({"defaults":[],"sightings":[]})"), deep})
    EXPECT_FALSE(read_json(text, given)) << text;
  EXPECT_EQ(read_json(R"([{"azimuth":1,"azimuth":2}])", given).problem().field, "azimuth");
  EXPECT_TRUE(read_json(R"([{"azimuth":1},{"azimuth":2}])", given));
  for (const char* row : {"3", R"({"azimuth":[1]})", R"({"date":2008})", R"({"azimuth":true})", R"({"Azimuth":1})"})
    EXPECT_TRUE(read_json("[" + std::string(row) + "]", given)->at(0).problem) << row;
}

}  // namespace
}  // namespace agonic::sightings
