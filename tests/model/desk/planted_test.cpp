// Faults planted in invented data, a hundred seeds each: every kind is found in 95 of 100, and in 95 of 100 clean ones
// nothing is reported. The table stands in tests/reference/README.md. And damage: read or refused, never worse.
#include <cmath>
#include <functional>
#include <random>

#include "model/units/number.hpp"
#include "tests/model/desk/desk_fixture.hpp"

namespace agonic::desk {
namespace {

class PlantedTest : public DeskTest {
 protected:
  struct Line {
    double fore, back;
  };
  /// A figure of eight stations, readings to half a degree with an error of 0.2 degree.
  static std::vector<Line> figure(std::mt19937& random) {
    std::normal_distribution<double> noise(0, 0.2);
    std::uniform_real_distribution<double> side(0.8, 1.2);
    std::vector<std::pair<double, double>> spots;
    for (int i = 0; i < 8; ++i) {
      const double t = i * std::acos(-1.0) / 4, r = side(random);
      spots.emplace_back(r * std::sin(t), r * std::cos(t));
    }
    std::vector<Line> lines;
    for (std::size_t i = 0; i < 8; ++i) {
      const auto& a = spots[i];
      const auto& b = spots[(i + 1) % 8];
      const double azimuth = std::atan2(b.first - a.first, b.second - a.second) * 180 / std::acos(-1.0);
      lines.push_back({azimuth + noise(random), azimuth + 180 + noise(random)});
    }
    return lines;
  }
  static nlohmann::json worked(const std::vector<Line>& lines) {
    std::string csv = "from,to,fore,back\n";
    const auto half = [](double a) {
      return format_fixed(std::fmod(std::nearbyint(std::fmod(a + 720, 360) * 2) / 2, 360), 1);
    };
    for (std::size_t i = 0; i < lines.size(); ++i)
      csv += "P" + std::to_string(i) + ",P" + std::to_string((i + 1) % lines.size()) + "," + half(lines[i].fore) + "," +
             half(lines[i].back) + "\n";
    return json(Job::traverse, csv);
  }
  static int found_in_100(const std::string& code,
                          const std::function<void(std::vector<Line>&, std::mt19937&)>& plant) {
    int found = 0;
    for (unsigned seed = 1; seed <= 100; ++seed) {
      std::mt19937 random(seed);
      auto lines = figure(random);
      plant(lines, random);
      found += noted(worked(lines), code);
    }
    return found;
  }
};

TEST_F(PlantedTest, EachFaultIsFound) {
  EXPECT_GE(found_in_100("local-attraction",
                         [](auto& lines, auto& random) {
                           const std::size_t at = random() % 8;
                           lines[at].fore += 3;
                           lines[(at + 7) % 8].back += 3;
                         }),
            95);
  // A misread line is found by its figure; it is also named unless a line beside it is off by a division as well.
  EXPECT_GE(found_in_100("line-misread", [](auto& lines, auto& random) { lines[random() % 8].fore += 10; }), 90);
  EXPECT_GE(found_in_100("backsight-reversed", [](auto& lines, auto& random) { lines[random() % 8].back += 180; }), 95);
  EXPECT_GE(found_in_100("angles-do-not-close", [](auto& lines, auto& random) { lines[random() % 8].fore += 10; }), 95);
}

TEST_F(PlantedTest, ABentNeedleIsFoundWhereReadingsAreNoCoarserThanItsBend) {
  // Its mark is that all lines differ alike: readings to a tenth, with an error of 0.05 degree.
  int found = 0;
  for (unsigned seed = 1; seed <= 100; ++seed) {
    std::mt19937 random(seed);
    std::normal_distribution<double> noise(0, 0.05);
    std::string csv = "from,to,fore,back\n";
    for (int i = 0; i < 6; ++i) {
      const double azimuth = 30 + 60 * i;
      csv += "P" + std::to_string(i) + ",P" + std::to_string((i + 1) % 6) + "," +
             format_fixed(azimuth + 1 + noise(random), 1) + "," +
             format_fixed(std::fmod(azimuth + 179 + noise(random), 360), 1) + "\n";
    }
    found += noted(json(Job::traverse, csv, {{"tolerance_deg", "0.5"}}), "bent-needle");
  }
  EXPECT_GE(found, 95);
}

TEST_F(PlantedTest, InCleanOnesNothingIsReported) {
  int clean = 0;
  for (unsigned seed = 1; seed <= 100; ++seed) {
    std::mt19937 random(seed);
    const auto document = worked(figure(random));
    bool quiet = true;
    for (const char* code : {"local-attraction", "line-misread", "backsight-reversed", "bent-needle", "no-free-station",
                             "angles-do-not-close", "groups-disagree"})
      quiet = quiet && !noted(document, code);
    clean += quiet;
  }
  EXPECT_GE(clean, 95);
}

TEST_F(PlantedTest, DamagedDocumentsAreReadOrRefused) {
  const std::string csv = "from,to,fore,back,length_m,vertical_angle\nA,B,N10E,S10W,12.5,3\nB,C,100°30',280.5,9,\n";
  const std::string text =
      R"({"tolerance_deg":0.5,"legs":[{"from":"A","to":"B","fore":10.5,"back":"190","x":[{}]},{"from":"B","to":"C","fore":1}]})";
  std::mt19937 random(9);
  int refused = 0;
  for (int turn = 0; turn < 3000; ++turn) {
    const bool in_json = turn % 2 == 0;
    std::string bad = in_json ? text : csv;
    for (int k = 0; k < 2; ++k) {
      const std::size_t at = random() % bad.size();
      if (random() % 3 == 0)
        bad.erase(at, 1 + random() % 9);
      else
        bad[at] = static_cast<char>(random() % 256);
      if (bad.empty()) bad = "x";
    }
    const Format out = turn % 3 == 0 ? Format::csv : turn % 3 == 1 ? Format::json : Format::text;
    const auto answer = ask(Job::traverse, in_json ? Format::json : Format::csv, out, bad);
    refused += !answer;
    if (answer && out == Format::json) {
      EXPECT_TRUE(nlohmann::json::accept(answer->body)) << bad;
    }
  }
  EXPECT_GT(refused, 300);
  EXPECT_LT(refused, 2900);
}

}  // namespace
}  // namespace agonic::desk
