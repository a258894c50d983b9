// What is added to CSV fits the file it is added to: its decimal mark, its encoding.
#include "model/exchange/added_text.hpp"
#include "tests/model/exchange/batch_run.hpp"

namespace agonic::exchange {
namespace {

const std::string kDegree = "\xC2\xB0", kLatin1Degree = "\xB0";

std::string last_cell(const Batch& batch, char delimiter) {
  return split(split(split(batch.out, '\n')[1], delimiter).back(), '\r')[0];
}

TEST(AddedCells, AQuadrantBearingHasTheDecimalMarkOfItsFile) {
  const std::string head = "lat;lon;date;north_reference;azimuth\n";
  EXPECT_EQ(last_cell(csv(head + "46,5;7,25;2020-07-01;true;N34,5E\n"), ';'), "N34,5E");
  EXPECT_EQ(last_cell(csv(head + "46.5;7.25;2020-07-01;true;N34.5E\n"), ';'), "N34.5E");
  // Prose keeps its point.
  const Batch batch = csv(head + "46,5;7,25;2020-07-01;true;N34,5E\n");
  EXPECT_NE(batch.out.find("34.500 is true already"), std::string::npos) << batch.out;
}

TEST(AddedCells, BesideAnotherEncodingTheyAreAscii) {
  const std::string head = "lat,lon,date,north_reference,note,azimuth\n", begin = "46.5,7.25,2020-07-01,true,";
  // ISO 8859-1, as spreadsheets of years ago save it.
  const std::string latin =
      head + begin + "gr\xFCn,N34" + kLatin1Degree + "30'E\n" + begin + "x,N35" + kLatin1Degree + "30'E\n";
  const Batch batch = csv(latin);
  EXPECT_EQ(batch.summary.refused, 0u) << batch.out;
  EXPECT_EQ(last_cell(batch, ','), "N34d30'E");
  EXPECT_EQ(batch.out.find("\xC2"), std::string::npos) << "a UTF-8 degree sign in a file of ISO 8859-1";
  // What was written so is read so.
  EXPECT_EQ(last_cell(csv(head + begin + "x,N34d30'E\n"), ','), "N34" + kDegree + "30'E");
  // A file in UTF-8 gets UTF-8.
  EXPECT_EQ(last_cell(csv(head + begin + "gr\xC3\xBCn,N34" + kDegree + "30'E\n"), ','), "N34" + kDegree + "30'E");
}

TEST(AddedCells, ARowInAnotherEncodingFarDownTheFileIsNotMixedEither) {
  const std::string head = "lat,lon,date,north_reference,note,azimuth\n", begin = "46.5,7.25,2020-07-01,true,";
  std::string file = head;
  while (file.size() < 70000) file += begin + "plain,N34" + kDegree + "30'E\n";
  const Batch batch = csv(file + begin + "gr\xFCn,N34" + kLatin1Degree + "30'E\n");
  const auto lines = split(batch.out, '\n');
  EXPECT_TRUE(is_utf8(lines[1]));
  EXPECT_TRUE(lines[1].ends_with("N34" + kDegree + "30'E"));
  EXPECT_TRUE(lines[lines.size() - 2].ends_with("N34d30'E")) << lines[lines.size() - 2];
}

}  // namespace
}  // namespace agonic::exchange
