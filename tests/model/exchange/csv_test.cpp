// CSV in and out. Quotes and line ends: RFC 4180. Byte for byte: the promise of the manual.
#include "tests/model/exchange/batch_run.hpp"

namespace agonic::exchange {
namespace {

const std::string kHeader = "id,lat,lon,date,azimuth,north_reference,set_declination,note";
const std::string kGood = "a,46.5,7.25,2020-07-01,100,circle,0,";

// Every line of the output must begin with the line of the input, and its line end must be the same.
void expect_kept(const std::string& input, const std::string& output) {
  const auto in = split(input, '\n'), out = split(output, '\n');
  ASSERT_EQ(in.size(), out.size());
  for (std::size_t i = 0; i < in.size(); ++i) {
    std::string line = in[i];
    const bool crlf = line.ends_with('\r');
    if (crlf) line.pop_back();
    EXPECT_TRUE(out[i].starts_with(line)) << i << ": " << out[i];
    EXPECT_EQ(out[i].ends_with('\r'), crlf) << i;
  }
}

TEST(Csv, AddedColumnsAllThereInOrder) {
  const Batch result = csv(kHeader + "\n" + kGood + "x\n");
  const auto lines = split(result.out, '\n');
  ASSERT_EQ(lines.size(), 3U);
  EXPECT_EQ(lines[0], kHeader + "," + kAddedHeader);
  EXPECT_EQ(result.summary.corrected, 1U);
}

TEST(Csv, TargetDateAddsOneColumn) {
  const std::string with = kHeader + "," + kAddedHeader + ",azimuth_at_target";
  EXPECT_EQ(split(csv(kHeader + "\n" + kGood + "x\n", {{"target_date", "2026"}}).out, '\n')[0], with);
  const Batch column = csv("target_date," + kHeader + "\n," + kGood + "x\n2026-01-02," + kGood + "x\n");
  EXPECT_EQ(split(column.out, '\n')[0], "target_date," + with);
  EXPECT_TRUE(split(column.out, '\n')[1].ends_with(",")) << "void without a date";
  EXPECT_FALSE(split(column.out, '\n')[2].ends_with(","));
}

TEST(Csv, PassThroughByteForByte) {
  for (const std::string& note :
       {std::string("plain"), std::string("  spaces at both ends  "), std::string("\"quoted, with \"\"quotes\"\"\""),
        std::string("5'10\" high"), std::string("\tx"), std::string("caf\xE9 Latin-1"), std::string("=1+1"),
        std::string("\"\""), std::string("\xE2\x82\xAC \xF0\x9F\xA7\xAD")}) {
    const std::string input = kHeader + "\n" + kGood + note + "\n";
    const Batch result = csv(input);
    EXPECT_EQ(result.summary.corrected, 1U) << note;
    EXPECT_TRUE(split(result.out, '\n')[1].starts_with(kGood + note + ",114.") ||
                split(result.out, '\n')[1].starts_with(kGood + note + ",102."))
        << result.out;
  }
}

TEST(Csv, LineEndsBomAndMissingLastNewlineStay) {
  const std::string mixed = "\xEF\xBB\xBF" + kHeader + "\r\n" + kGood + "1\r\n" + kGood + "2\n" + kGood + "3";
  const Batch result = csv(mixed);
  EXPECT_EQ(result.summary.corrected, 3U);
  EXPECT_TRUE(result.out.starts_with("\xEF\xBB\xBFid,"));
  EXPECT_FALSE(result.out.ends_with("\n"));
  expect_kept(mixed, result.out);
}

TEST(Csv, BlankLinesPassAndAreNoRows) {
  const std::string input = kHeader + "\n\n" + kGood + "\n   \n" + kGood + "\n\n";
  const Batch result = csv(input);
  EXPECT_EQ(result.summary.rows, 2U);
  const auto lines = split(result.out, '\n');
  ASSERT_EQ(lines.size(), 7U);
  EXPECT_EQ(lines[1], "");
  EXPECT_EQ(lines[3], "   ");
}

TEST(Csv, TabRowOfEmptyCellsIsARow) {
  const Batch result = csv("lat\tlon\tdate\tazimuth\n\t\t\t\n");
  EXPECT_EQ(result.summary.rows, 1U);
  EXPECT_EQ(result.summary.refused, 1U);
}

TEST(Csv, QuotedNewlinesBelongToTheCell) {
  const Batch result = csv("note,\"two\r\nlines\"," + kHeader + "\n\"a\nb\",x," + kGood + "\nq,x,bad\n");
  EXPECT_EQ(result.summary.corrected, 1U);
  EXPECT_TRUE(result.out.starts_with("note,\"two\r\nlines\",id,"));
  EXPECT_NE(result.out.find("\n\"a\nb\",x,a,46.5"), std::string::npos);
  ASSERT_EQ(result.summary.first_refused.size(), 1U);
  EXPECT_EQ(result.summary.first_refused[0].row, 2U);
  EXPECT_EQ(result.summary.first_refused[0].line, 5U) << "lines of the file, not rows";
}

TEST(Csv, SemicolonDecimalCommaOutAgain) {
  const Batch result =
      csv("lat;lon;date;azimuth;north_reference;set_declination\n46,5;7,25;2020-07-01;100,5;circle;0\n");
  EXPECT_EQ(result.summary.corrected, 1U);
  const auto cells = split(split(result.out, '\n')[1], ';');
  EXPECT_EQ(cells[9], "100,500") << "azimuth_magnetic";
  EXPECT_EQ(cells[19], "0,000") << "set_declination_used";
}

TEST(Csv, CommaDelimiterWithDecimalCommaQuotesAdded) {
  const Batch result =
      csv("lat,lon,date,azimuth,north_reference,set_declination\n\"46,5\",\"7,25\",2020-07-01,\"100,5\",circle,0\n");
  EXPECT_EQ(result.summary.corrected, 1U);
  EXPECT_NE(result.out.find(",\"100,500\","), std::string::npos) << result.out;
}

TEST(Csv, DecimalMarkIsSettledInTheHeadAndOtherCellsRefused) {
  const std::string rows = "lat;lon;date;azimuth;north_reference\n46,5;7,25;2020;100,5;magnetic\n";
  const Batch result = csv(rows + "46.5;7,25;2020;100,5;magnetic\n46,5;7,25;2020;100,5;magnetic\n");
  EXPECT_EQ(result.summary.corrected, 2U);
  ASSERT_EQ(result.summary.first_refused.size(), 1U);
  EXPECT_EQ(result.summary.first_refused[0].row, 2U);
  EXPECT_EQ(result.summary.first_refused[0].problem.field, "lat");
  // What stands behind the first 64 KiB has no say.
  std::string late = "lat;lon;date;azimuth;north_reference\n";
  while (late.size() < 64 * 1024) late += "46;7;2020;100;magnetic\n";
  const Batch points = csv(late + "46,5;7;2020;100;magnetic\n");
  EXPECT_EQ(points.summary.refused, 1U);
  EXPECT_EQ(csv(late + "46,5;7;2020;100;magnetic\n", {{"decimal", "comma"}}).summary.refused, 0U);
}

TEST(Csv, NoThousandsMarks) {
  const Batch result = csv("lat;lon;height_m;date;azimuth;north_reference\n46.5;7.2;1,500.5;2020;100;magnetic\n");
  EXPECT_EQ(result.summary.refused, 1U);
}

TEST(Csv, ShortRowsArePadded) {
  const Batch result = csv("lat,lon,date,azimuth,north_reference,a,b,c\n46,7,2020,100,magnetic,x\n");
  EXPECT_EQ(result.summary.corrected, 1U);
  EXPECT_EQ(split(split(result.out, '\n')[1], ',').size(), split(split(result.out, '\n')[0], ',').size());
  EXPECT_NE(result.out.find("\n46,7,2020,100,magnetic,x,,,"), std::string::npos);
}

TEST(Csv, LongRowsAreRefusedTheSurplusKept) {
  const Batch result = csv("lat,lon,date,azimuth,north_reference\n46,7,2020,100,magnetic,left,over\n");
  ASSERT_EQ(result.summary.refused, 1U);
  EXPECT_NE(result.out.find("\n46,7,2020,100,magnetic,,,"), std::string::npos) << "columns stay in place";
  EXPECT_NE(result.summary.first_refused[0].problem.message.find("left,over"), std::string::npos);
  EXPECT_NE(result.out.find("left,over"), std::string::npos);
}

TEST(Csv, OpenQuoteCostsOneRow) {
  const Batch result = csv(kHeader + "\n" + kGood + "1\nb,\"open,7,2020\n" + kGood + "2\n" + kGood + "3\n");
  EXPECT_EQ(result.summary.rows, 4U);
  EXPECT_EQ(result.summary.corrected, 3U);
  ASSERT_EQ(result.summary.first_refused.size(), 1U);
  EXPECT_EQ(result.summary.first_refused[0].line, 3U);
  EXPECT_NE(result.out.find("\"b,\"\"open,7,2020\","), std::string::npos) << "its bytes are kept in a cell";
}

TEST(Csv, OpenQuoteFarFromTheEndCostsOneRowToo) {
  std::string input = kHeader + "\nb,\"open,7,2020\n";
  for (int i = 0; i < 3000; ++i) input += kGood + "x\n";
  const Batch result = csv(input);
  EXPECT_EQ(result.summary.corrected, 3000U);
  EXPECT_EQ(result.summary.refused, 1U);
}

TEST(Csv, ManyOpenQuotesEndTheFileSoon) {
  // Each line leaves a quote open whether one was open before or not.
  std::string input = kHeader + "\n";
  for (int i = 0; i < 100000; ++i) input += "\"x\"y,\"\n";
  const auto begin = std::chrono::steady_clock::now();
  EXPECT_EQ(csv(input).code(), "file-malformed");
  EXPECT_LT(std::chrono::steady_clock::now() - begin, std::chrono::seconds(20));
}

TEST(Csv, TextAfterTheClosingQuoteRefusesTheRow) {
  const Batch result = csv(kHeader + "\n" + kGood + "\"a\"b\n" + kGood + "ok\n");
  EXPECT_EQ(result.summary.refused, 1U);
  EXPECT_EQ(result.summary.corrected, 1U);
}

TEST(Csv, NulAndLoneReturnRefuseTheRow) {
  const Batch nul = csv(kHeader + "\n" + kGood + std::string("a\0b", 3) + "\n" + kGood + "\n");
  EXPECT_EQ(nul.summary.refused, 1U);
  EXPECT_EQ(nul.summary.corrected, 1U);
  const Batch lone = csv(kHeader + "\n" + kGood + "a\rb\n" + kGood + "\"a\rb\"\n");
  EXPECT_EQ(lone.summary.refused, 1U);
  EXPECT_EQ(lone.summary.corrected, 1U) << "inside quotes it is text";
}

TEST(Csv, FilesThatAreNoCsvInUtf8) {
  EXPECT_EQ(csv(std::string("\xFF\xFEi\0d\0", 6)).code(), "file-malformed");
  EXPECT_EQ(csv(std::string("\xFE\xFF\0i\0d", 6)).code(), "file-malformed");
  const Batch plain16 = csv(std::string("i\0d\0,\0\n\0", 8));
  EXPECT_EQ(plain16.code(), "file-malformed");
  EXPECT_NE(plain16.problem->message.find("NUL"), std::string::npos);
  std::string mac = kHeader;
  for (int i = 0; i < 5000; ++i) mac += "\r" + kGood;
  for (const std::string& file : {kHeader + "\r" + kGood + "\r", mac}) {
    const Batch lone = csv(file);
    EXPECT_EQ(lone.code(), "file-malformed");
    EXPECT_NE(lone.problem->message.find("CR alone"), std::string::npos) << lone.problem->message;
  }
  EXPECT_EQ(csv("").code(), "columns-missing");
  EXPECT_EQ(csv("\n \n").code(), "columns-missing");
  EXPECT_EQ(csv("id,\"open\n1,2\n").code(), "file-malformed");
}

TEST(Csv, HeaderOnly) {
  for (const std::string end : {"", "\n", "\r\n"}) {
    const Batch result = csv(kHeader + end);
    EXPECT_EQ(result.code(), "none");
    EXPECT_EQ(result.out, kHeader + "," + kAddedHeader + end);
    EXPECT_EQ(result.summary.rows, 0U);
  }
}

TEST(Csv, LongLinesAndManyColumns) {
  EXPECT_EQ(csv(kHeader + "\n" + kGood + std::string(10 << 20, 'x') + "\n").code(), "too-large");
  EXPECT_EQ(csv(std::string(10 << 20, 'x')).code(), "file-malformed");
  std::string header = "lat,lon,date,azimuth,north_reference", row = "46,7,2020,100,magnetic";
  for (int i = 0; i < 9995; ++i) header += ",c" + std::to_string(i), row += ",";
  const Batch result = csv(header + "\n" + row + "\n" + row + "\n");
  EXPECT_EQ(result.summary.corrected, 2U);
  EXPECT_EQ(split(split(result.out, '\n')[2], ',').size(), 10000U + 22U);
}

TEST(Csv, MissingAndDoubledColumns) {
  EXPECT_EQ(csv("lat,lon,date\n1,2,2020\n").code(), "columns-missing");
  EXPECT_EQ(csv("azimuth,date,lat\n1,2020,2\n").code(), "columns-missing");
  EXPECT_EQ(csv("azimuth,lat,lon\n1,2,3\n").code(), "columns-missing");
  EXPECT_EQ(csv("azimuth,lat,lon\n1,2,3\n", {{"date", "2020"}}).code(), "none") << "a default is as good";
  EXPECT_EQ(csv("azimuth,lat,lon,date,lat\n").code(), "file-malformed");
  EXPECT_EQ(csv("azimuth,lat,lon,date,note,note\n").code(), "none") << "other columns pass";
  const Batch capital = csv("Azimuth,lat,lon,date\n");
  EXPECT_EQ(capital.code(), "unknown-name");
  EXPECT_NE(capital.problem->remedy.find("Write it as azimuth"), std::string::npos) << capital.problem->remedy;
}

TEST(Csv, AColumnThatLooksLikeAnotherIsNotPassedOver) {
  for (const std::string name : {"Azimuth_Unit", "azimuth unit", "azimuth_units", "back-sight", "sett_declination",
                                 "dipp", "dips", "plung", "plunges", "rakes", "kinds"})
    EXPECT_EQ(csv("azimuth,lat,lon,date," + name + "\n").code(), "unknown-name") << name;
  for (const std::string name :
       {"note", "azimuth2", "dip2", "rate", "line", "plot", "my_date", "dip_direction", "observer"})
    EXPECT_EQ(csv("azimuth,lat,lon,date," + name + "\n").code(), "none") << name;
  EXPECT_EQ(csv("azimuth,lat,lon,date,Date\n").code(), "none") << "date itself is there: this one is the user's own";
}

TEST(Json, AMemberThatLooksLikeDefaultsOrReadingsIsNotPassedOver) {
  const std::string rows =
      R"("readings":[{"azimuth":100,"lat":42,"lon":-71,"date":"2008","north_reference":"magnetic"}])";
  EXPECT_EQ(json(R"({"default":{"set_declination":0},)" + rows + "}").code(), "file-malformed");
  EXPECT_EQ(json(R"({"title":"a line in a deed",)" + rows + "}").code(), "none");
}

TEST(Csv, ThousandsAreNoDecimals) {
  const Batch us = csv("azimuth,lat,lon,date,north_reference,height_m\n100,42,-71,2026-07-04,magnetic,\"1,000\"\n");
  EXPECT_EQ(us.summary.refused, 1U) << us.out;
  const Batch mixed =
      csv("azimuth;lat;lon;date;north_reference;height_m\n100,5;42;-71;2026-07-04;magnetic;100\n100;42;-71;2026-07-04;"
          "magnetic;1.000\n");
  EXPECT_EQ(mixed.summary.refused, 1U) << "the comma is the mark, the height with a thousands point is refused";
  EXPECT_EQ(csv("azimuth;lat;lon;date;north_reference\n100;42,125;-71,500;2026-07-04;magnetic\n").summary.refused, 0U);
}

TEST(Csv, ToJsonKeepsEveryCellAsText) {
  const Batch result = run(kHeader + "\n" + kGood + "\"say \"\"hi\"\"\"\n" + "b,1\n", Format::csv, Format::json);
  const auto document = nlohmann::json::parse(result.out);
  EXPECT_EQ(document["readings"][0]["note"], "say \"hi\"");
  EXPECT_EQ(document["readings"][0]["azimuth"], "100");
  EXPECT_EQ(document["readings"][1]["note"], "") << "a short row has its cells too";
  EXPECT_EQ(document["summary"]["rows"], 2);
  EXPECT_EQ(run("azimuth,lat,lon,date,n,n\n", Format::csv, Format::json).code(), "file-malformed") << "a key is lost";
  const Batch latin = run(kHeader + "\n" + kGood + "caf\xE9\n", Format::csv, Format::ndjson);
  EXPECT_EQ(latin.summary.refused, 1U) << "never another letter without a word";
}

TEST(Csv, RowsInAreRowsOutInOrder) {
  std::string input = kHeader + "\n";
  constexpr int kRows = 5000;  // several windows
  for (int i = 0; i < kRows; ++i)
    input += std::to_string(i) +
             (i % 7 == 0 ? ",46.5,7.25,2020-07-01,400,circle,0,\n" : ",46.5,7.25,2020-07-01,100,circle,0,\n");
  const Batch result = csv(input);
  const auto lines = split(result.out, '\n');
  ASSERT_EQ(lines.size(), kRows + 2U);
  for (std::size_t i = 0; i < kRows; ++i) {
    EXPECT_TRUE(lines[i + 1].starts_with(std::to_string(i) + ","));
    EXPECT_EQ(lines[i + 1].find("refused") != std::string::npos, i % 7 == 0) << lines[i + 1];
  }
  EXPECT_EQ(result.summary.refused, 715U);
  EXPECT_EQ(result.summary.first_refused.size(), kRefusedKept);
  EXPECT_EQ(result.summary.checks.at("reading-out-of-range"), 715U);
  EXPECT_TRUE(to_line(result.summary).starts_with("4285 corrected, 715 refused: lines 2, 9, 16, "))
      << to_line(result.summary);
  EXPECT_TRUE(to_line(result.summary).ends_with(" and 695 more"));
}

}  // namespace
}  // namespace agonic::exchange
