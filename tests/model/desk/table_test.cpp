// Documents of rows: what is read, what is refused whole, and that rows in are rows out.
#include "model/desk/table.hpp"

#include "tests/model/desk/desk_fixture.hpp"

namespace agonic::desk {
namespace {

class TableTest : public DeskTest {};

TEST_F(TableTest, RowsInAreRowsOutWithTheirOtherCells) {
  const auto out = answer(Job::traverse, Format::csv, Format::csv,
                          "\xEF\xBB\xBF"
                          "from;to;fore;back;note\nA;B;10,5;190,5;\"a;b\"\n\nB;C;x;1;\nC;D;20;200;z\n");
  EXPECT_EQ(out.rows, 3u);
  EXPECT_EQ(out.refused, 1u);
  EXPECT_NE(out.body.find("A;B;10,5;190,5;\"a;b\";0,000;0,000;"), std::string::npos) << out.body;
  EXPECT_NE(out.body.find("B;C;x;1;;"), std::string::npos);
  EXPECT_EQ(std::count(out.body.begin(), out.body.end(), '\n'), 4);
  EXPECT_EQ(out.summary_line, "3 lines, 1 refused: line 4");
}

TEST_F(TableTest, JsonMembersComeBack) {
  const auto out =
      answer(Job::traverse, Format::json, Format::json,
             R"({"tolerance_deg":0.5,"legs":[{"from":"A","to":"B","fore":10.5,"back":190,"x":{"y":[1]}}]})");
  const auto document = nlohmann::json::parse(out.body);
  EXPECT_EQ(document["legs"][0]["x"]["y"][0], 1);
  EXPECT_EQ(document["legs"][0]["fore"], 10.5);
  EXPECT_EQ(document["tolerance_deg"], 0.5);
  EXPECT_EQ(document["legs"][0]["difference"], -0.5);
}

TEST_F(TableTest, WhatCannotBeReadIsRefusedWhole) {
  const auto code = [&](const std::string& csv, const Options& options = {}) {
    return problem(Job::traverse, csv, options).code;
  };
  EXPECT_EQ(code(""), Code::file_malformed);
  EXPECT_EQ(code("from,to,fore\n"), Code::missing_value);
  EXPECT_EQ(code("from,to\nA,B\n"), Code::columns_missing);
  EXPECT_EQ(code("from,to,fore,Back\nA,B,1,181\n"), Code::unknown_name);
  EXPECT_EQ(code("from,to,fore,lenght_m\nA,B,1,181\n"), Code::internal);  // two letters changed places: its own name
  EXPECT_EQ(code("from,to,fore,lngth_m\nA,B,1,181\n"), Code::unknown_name);
  EXPECT_EQ(code("from,to,fore,fore\nA,B,1,181\n"), Code::file_malformed);
  EXPECT_EQ(code("from,to,fore,azimuth_true\nA,B,1,181\n"), Code::name_taken);
  EXPECT_EQ(code("from,to,fore\nA,B,\"1\n"), Code::file_malformed);
  EXPECT_EQ(code("from,to,fore\nA,B,1\n", {{"tolerance", "1"}}), Code::unknown_name);
  EXPECT_EQ(code("from;to;fore\nA;B;1,5\nB;C;1.5\n"), Code::contradiction);
  EXPECT_EQ(code("from;to;fore\nA;B;1,5\nB;C;2\n", {{"decimal", "both"}}), Code::unknown_name);
}

TEST_F(TableTest, HostileJsonIsRefused) {
  for (const std::string text :
       {"", "[", "[]", "{}", "{\"legs\":1}", "{\"legs\":[1]}", "{\"legs\":[]}", "{\"legs\":[{}]}", "nul",
        R"({"legs":[{"from":"A","to":"B","fore":[1]}]})", R"({"legs":[{"from":"A","to":"B","fore":1}],"date":2028})",
        R"({"legs":[{"from":"A","to":"B","fore":1}],"nested":{"a":1}})"})
    EXPECT_FALSE(ask(Job::traverse, Format::json, Format::json, text)) << text;
  EXPECT_FALSE(ask(Job::traverse, Format::json, Format::json, std::string(100000, '[')));
  EXPECT_FALSE(ask(Job::traverse, Format::json, Format::json,
                   R"({"legs":[{"from":"A","to":"B","fore":1}],"tolerance_deg":1})", {{"tolerance_deg", "1"}}));
  EXPECT_EQ(ask(Job::traverse, Format::csv, Format::json, std::string(kMostBytes + 1, 'a')).problem().code,
            Code::too_large);
}

TEST_F(TableTest, ARowOfAnotherLengthIsRefusedByItself) {
  const auto out = answer(Job::traverse, Format::csv, Format::csv, "from,to,fore\nA,B,1,2\nB,C,3\n");
  EXPECT_EQ(out.refused, 1u);
  EXPECT_NE(out.body.find("the row has 4 cells, the header 3"), std::string::npos);
}

TEST_F(TableTest, NumbersOfTheAnswerAreUnroundedInJsonAndRoundedInCsv) {
  const std::string csv = "from,to,fore,back\nA,B,10,190.1234\n";
  EXPECT_NEAR(json(Job::traverse, csv)["legs"][0]["difference"].get<double>(), 0.1234, 1e-9);
  EXPECT_NE(answer(Job::traverse, Format::csv, Format::csv, csv).body.find(",0.123,"), std::string::npos);
}

}  // namespace
}  // namespace agonic::desk
