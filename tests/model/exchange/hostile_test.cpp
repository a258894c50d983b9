// Seeded mutations: whatever comes in, what goes out is sound, and every row comes back.
#include <algorithm>
#include <random>

#include "tests/model/exchange/batch_run.hpp"

namespace agonic::exchange {
namespace {

const std::vector<std::string> kRows{
    R"({"id":"a","lat":46.5,"lon":7.25,"height_m":1200,"date":"2020-07-01","azimuth":100,"north_reference":"magnetic"})",
    R"({"place":"32N 461344 5481745","date":"2008-07","azimuth":"S85°30'E","north_reference":"circle","set_declination":null,"note":"\u00e9\"\\"})",
    R"({"lat":"46°30'N","lon":"7°15'E","date":"2020","azimuth":287,"dip":"81","plane_convention":"right_hand","north_reference":"true","applied_declination":"1E","target_date":"2026"})",
    R"({"lat":-89.999,"lon":540,"date":"2020-02-30","azimuth":1e300,"azimuth_index_error":[1,2,3,4,5],"x":{"y":[[]]}})"};

std::string mutated(std::string text, std::mt19937_64& random) {
  static const std::vector<std::string> kPieces{"\"",
                                                "\\",
                                                "{",
                                                "}",
                                                "[",
                                                "]",
                                                ",",
                                                ":",
                                                "null",
                                                "true",
                                                "1e999",
                                                "-0",
                                                "0x1p3",
                                                "1,5",
                                                "NaN",
                                                "\xE9",
                                                "\xEF\xBB\xBF",
                                                "\xED\xA0\x80",
                                                "\\ud800",
                                                "\\u0000",
                                                "\t",
                                                " ",
                                                "\"azimuth\":1,",
                                                "\"model\":1,",
                                                "unknown",
                                                "9999",
                                                "1e-400",
                                                "\r",
                                                std::string(1, '\0'),
                                                std::string(400, '9')};
  for (auto times = 1 + random() % 4; times > 0; --times) {
    const std::size_t at = text.empty() ? 0 : random() % text.size();
    switch (random() % 5) {
      case 0:
        text.erase(at, 1 + random() % 8);
        break;
      case 1:
        text.insert(at, kPieces[random() % kPieces.size()]);
        break;
      case 2:
        if (!text.empty()) text[at] = static_cast<char>(random() % 256);
        break;
      case 3:
        text.insert(at, text.substr(random() % (text.size() + 1), random() % 30));
        break;
      default:
        text.replace(at, std::min<std::size_t>(1 + random() % 10, text.size() - at),
                     kPieces[random() % kPieces.size()]);
        break;
    }
  }
  return text;
}

// One line a row, so that every mutation without a line end is one row of NDJSON.
std::string one_line(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text.find_first_not_of(" \t\r") == std::string::npos ? "x" : text;
}

TEST(Hostile, NdjsonRowsComeBackAsSoundJson) {
  std::mt19937_64 random(1);
  for (int batch = 0; batch < 50; ++batch) {
    std::string input = kRows[0] + "\n";  // a first row that takes no name
    constexpr std::size_t kCount = 200;
    for (std::size_t i = 0; i < kCount; ++i) input += one_line(mutated(kRows[random() % kRows.size()], random)) + "\n";
    const Batch result = ndjson(input);
    ASSERT_FALSE(result.problem) << result.problem->text();
    const auto lines = split(result.out, '\n');
    ASSERT_EQ(lines.size(), kCount + 2);
    for (std::size_t i = 0; i <= kCount; ++i) {
      const auto row = nlohmann::json::parse(lines[i], nullptr, false);
      ASSERT_TRUE(row.is_object()) << lines[i];
      ASSERT_TRUE(row.contains("status") && row.contains("azimuth_true_text")) << lines[i];
      ASSERT_EQ(row["status"] == "refused", row["azimuth_true"].is_null()) << lines[i];
    }
    ASSERT_EQ(result.summary.corrected + result.summary.unchanged + result.summary.refused, kCount + 1);
    ASSERT_FALSE(nlohmann::json::parse(to_json(result.summary), nullptr, false).is_discarded());
  }
}

TEST(Hostile, DocumentsComeBackAsSoundJsonOrAsOneProblem) {
  std::mt19937_64 random(2);
  int whole = 0;
  for (int i = 0; i < 6000; ++i) {
    const bool geo = i % 2 == 1;
    std::string text =
        geo ? R"({"type":"FeatureCollection","features":[)" : R"({"defaults":{"letters":"es"},"readings":[)";
    for (std::size_t k = 0; k < 3; ++k)
      text +=
          (k ? "," : "") +
          (geo ? R"({"type":"Feature","geometry":{"type":"Point","coordinates":[7,46]},"properties":)" + kRows[k] + "}"
               : kRows[k]);
    text = mutated(text + "],\"x\":1}", random);
    const Format format = geo ? Format::geojson : Format::json;
    const Batch result = run(text, format, format);
    if (result.problem) {
      ASSERT_FALSE(result.problem->message.empty());
      continue;
    }
    ++whole;
    const auto document = nlohmann::json::parse(result.out, nullptr, false);
    ASSERT_TRUE(document.is_object()) << text << "\n" << result.out;
    ASSERT_EQ(document[geo ? "features" : "readings"].size(), document["summary"]["rows"]) << text;
  }
  EXPECT_GT(whole, 1000);
}

TEST(Hostile, CsvRowsComeBackInPlace) {
  std::mt19937_64 random(3);
  const std::string header = "id,lat,lon,date,azimuth,dip,plane_convention,north_reference,set_declination";
  const std::string row = "a,46.5,\"7°15'E\",2020-07-01,N35E,40SE,quadrant,circle,0";
  for (int i = 0; i < 4000; ++i) {
    const std::string bad = one_line(mutated(row, random));
    const Batch result = csv(header + "\n" + row + "\n" + bad + "\n" + row + "\n" + row + "\n");
    ASSERT_FALSE(result.problem) << result.problem->text();
    // An odd quote may take the next line with it, and then both are one row, whose bytes come back.
    ASSERT_GE(result.summary.rows, 2U) << bad;
    ASSERT_GE(result.summary.corrected, 1U) << bad;
    ASSERT_EQ(result.summary.refused + result.summary.corrected + result.summary.unchanged, result.summary.rows);
    const Batch rows = run(header + "\n" + row + "\n" + bad + "\n", Format::csv, Format::json);
    ASSERT_FALSE(nlohmann::json::parse(rows.out, nullptr, false).is_discarded()) << bad;
  }
}

}  // namespace
}  // namespace agonic::exchange
