// A file of sightings to what its instruments read wrong. The demo file is invented, its instruments read +0.8 and
// -0.6.
#include "model/sightings/report.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "model/survey/sun.hpp"
#include "tests/model/sightings/fixture.hpp"

namespace agonic::sightings {
namespace {

Report demo() {
  std::ifstream in(AGONIC_SOURCE_DIR "/tests/data/sightings.csv");
  std::stringstream text;
  text << in.rdbuf();
  return fit_csv(text.str(), {{"place", "46.5 7.25"}, {"graduation", "1"}, {"time_sigma", "10"}});
}

TEST(Report, FindsBothInstrumentsAndNamesTheMistakes) {
  const Report report = demo();
  ASSERT_EQ(report.instruments.size(), 2u);
  const auto& k7 = report.instruments[0];
  const auto& k9 = report.instruments[1];
  ASSERT_TRUE(k7.azimuth.fit && k9.azimuth.fit && k7.vertical.fit);
  EXPECT_NEAR(k7.azimuth.fit->curve.a, 0.8, 3 * std::sqrt(k7.azimuth.fit->of_sightings.upper[0]));
  EXPECT_NEAR(k9.azimuth.fit->curve.a, -0.6, 3 * std::sqrt(k9.azimuth.fit->of_sightings.upper[0]));
  EXPECT_NEAR(k7.vertical.fit->index_deg, 0.25, 1e-9);
  // The declination of the place is known to 0.36: no number of sightings makes the constant better.
  EXPECT_GT(std::sqrt(k7.fit.azimuth_covariance.upper[0]), 0.36);
  EXPECT_EQ(k7.fit.azimuth_sightings, 17u);
  EXPECT_EQ(k7.fit.vertical_sightings, 3u);
  EXPECT_EQ(k7.fit.first_date, "2026-06-01");
  EXPECT_EQ(k7.fit.how,
            "14 sightings of known lines and 3 of the sun, 2 left out, least squares; 3 pairs of fore and back "
            "vertical angles");
  ASSERT_TRUE(k7.repeatability);
  EXPECT_EQ(k7.repeatability->dof, 6);
  ASSERT_TRUE(report.baseline.fit);
  EXPECT_NEAR(report.baseline.fit->offsets[0].offset_deg - report.baseline.fit->offsets[1].offset_deg, 1.4, 0.5);

  const auto json = nlohmann::json::parse(to_json(report));
  const auto& sightings = json["sightings"];
  ASSERT_EQ(sightings.size(), 33u);
  EXPECT_EQ(sightings[3]["mistake"], "wrong-end");
  EXPECT_EQ(sightings[9]["mistake"], "mirror-figures");
  EXPECT_EQ(sightings[18]["mistake"], "gross");
  EXPECT_EQ(sightings[30]["vertical_mistake"], "vertical-sign");
  EXPECT_EQ(sightings[31]["problem"]["field"], "set_declination");
  EXPECT_EQ(sightings[32]["status"], "refused");
  EXPECT_EQ(sightings[0]["status"], "used");
  EXPECT_EQ(json["summary"]["left_out"], 4);
  EXPECT_EQ(json["summary"]["refused"], 2);
  EXPECT_EQ(json["instruments"][0]["azimuth"]["covariance"].size(), 15u);
  EXPECT_EQ(json["instruments"][0]["azimuth"]["shape"], "constant");
  EXPECT_NE(json["cautions"].dump().find("Never look at the sun"), std::string::npos);

  const std::string text = to_text(report, false);
  EXPECT_NE(text.find("--azimuth-index-error 0.90 --vertical-index-error 0.25"), std::string::npos) << text;
  EXPECT_NE(text.find("line 5 (s4)      left out, wrong-end"), std::string::npos) << text;
  EXPECT_EQ(text.find("(s1) "), std::string::npos);
  EXPECT_NE(to_text(report, true).find("(s1) "), std::string::npos);
}

TEST(Report, ShowsACurveWithItsCoefficients) {
  std::string csv = "azimuth,known_azimuth\n";
  for (int i = 0; i < 16; ++i) {
    const double m = 22.5 * i, index = 1 + 2.5 * sin_deg(m) - 1.5 * cos_deg(m) + sin_deg(2 * m);
    csv += std::to_string(wrap_360(m + index)) + "," + std::to_string(m) + "\n";
  }
  const Texts common{{"place", "46.5 7.25"},  {"date", "2026-06-01"},    {"set_declination", "0"},
                     {"known_north", "true"}, {"site_declination", "0"}, {"reading_sigma", "0.3"}};
  const Report report = fit_csv(csv, common);
  const auto& fit = *report.instruments[0].azimuth.fit;
  EXPECT_EQ(fit.shape, instrument::Shape::full) << fit.rule;
  EXPECT_NEAR(fit.curve.b, 2.5, 1e-4);
  EXPECT_NEAR(fit.curve.d, 1, 1e-4);
  EXPECT_NE(to_text(report, false).find("--azimuth-index-error \"1.00 2.50 -1.50 1.00 0.00\""), std::string::npos)
      << to_text(report, false);
  const auto json = nlohmann::json::parse(to_json(report));
  EXPECT_NE(json["instruments"][0]["remarks"].dump().find("site-sigma-not-stated"), std::string::npos);
}

TEST(Report, OffersNoCorrectionForAMagnetisedInstrument) {
  std::string csv = "azimuth,known_azimuth\n";
  for (int i = 0; i < 12; ++i)
    csv += std::to_string(wrap_360(30 * i + 7 * sin_deg(30 * i))) + "," + std::to_string(30 * i) + "\n";
  const std::string text = to_text(fit_csv(csv, {{"place", "46.5 7.25"},
                                                 {"date", "2026-06-01"},
                                                 {"set_declination", "0"},
                                                 {"known_north", "true"},
                                                 {"site_declination", "0"}}),
                                   false);
  EXPECT_NE(text.find("magnetised"), std::string::npos) << text;
  EXPECT_NE(text.find("90: +7.0"), std::string::npos) << text;
  EXPECT_EQ(text.find("--azimuth-index-error"), std::string::npos) << text;
}

TEST(Report, NamesAnHourOnTheClockAndASettingOnTheWrongSide) {
  std::string csv = "azimuth,time,target,known_azimuth,set_declination\n";
  const auto moment = survey::parse_moment("2026-06-01T05:10Z", kToday, false);
  const double sun = survey::sun_at({46.5, 7.25}, moment->instant).azimuth.degrees() - 5;
  const auto row = [&](double azimuth, const char* time, const char* known, const char* set) {
    csv += std::to_string(azimuth) + "," + time + "," + (*known ? "line" : "sun") + "," + known + "," + set + "\n";
  };
  row(sun, "2026-06-01T05:10Z", "", "0");
  row(sun, "2026-06-01T06:10Z", "", "0");  // summer time taken for an hour more than it is
  row(45, "2026-06-01T06:10Z", "50", "0");
  row(95, "2026-06-01T06:10Z", "100", "0");
  row(145, "2026-06-01T06:10Z", "150", "0");
  row(195 - 9, "2026-06-01T06:10Z", "200", "9E");
  const Report report = fit_csv(csv, {{"place", "46.5 7.25"},
                                      {"known_north", "true"},
                                      {"site_declination", "5E"},
                                      {"site_declination_sigma", "0.1"},
                                      {"reading_sigma", "0.3"}});
  const auto& outcomes = report.instruments[0].azimuth.fit->outcomes;
  EXPECT_EQ(outcomes[1].blunder, instrument::Blunder::clock_hour);
  EXPECT_EQ(outcomes[5].blunder, instrument::Blunder::setting_sign);
  EXPECT_NEAR(report.instruments[0].azimuth.fit->curve.a, 0, 1e-3);
}

TEST(Report, SaysWhyThereIsNoFitAndGoesOnWithTheOthers) {
  const Report report =
      fit_csv("instrument,azimuth,known_azimuth\nA,10,10\nA,100,10\nA,200,10\nB,11,10\nB,10.5,10\n",
              {{"place", "46.5 7.25"}, {"date", "2026-06-01"}, {"set_declination", "0"}, {"known_north", "true"}});
  EXPECT_TRUE(report.instruments[0].azimuth.problem);
  EXPECT_TRUE(report.instruments[1].azimuth.fit);
  EXPECT_NE(to_text(report, false).find("not found"), std::string::npos);
  EXPECT_NE(to_json(report).find("\"problem\""), std::string::npos);
  EXPECT_EQ(report.refused, 0u);
}

TEST(Report, ComparesInstrumentsOnUnknownLinesAndObservers) {
  const Report report =
      fit_csv("instrument,observer,line,azimuth\nA,x,1,10\nB,y,1,12\nA,x,2,359.5\nB,y,2,1.5\nA,x,3,200\nB,y,3,202\n",
              {{"set_declination", "0"}});
  ASSERT_TRUE(report.baseline.fit);
  EXPECT_NEAR(report.baseline.fit->offsets[1].offset_deg, 1, 1e-9);
  EXPECT_EQ(status(report, 0), "compared");
  EXPECT_NE(to_text(report, true).find("The instruments differ by 2.00"), std::string::npos);
  EXPECT_EQ(to_text(fit_csv("azimuth\n"), true), "There are no sightings.\n");
  // A known line at two places and looked along both ways: what each instrument reads wrong is compared.
  const Report known = fit_csv(
      "instrument,line,azimuth,known_azimuth,place,backsight\nA,1,10,10,46.5 7.25,\nB,1,72,70,42.3 -71.3,\n"
      "A,1,190,10,46.5 7.25,yes\nB,1,252,70,42.3 -71.3,yes\nA,1,10.5,10,46.5 7.25,\n",
      {{"date", "2026-06-01"}, {"set_declination", "0"}, {"known_north", "true"}, {"site_declination", "0"}});
  ASSERT_TRUE(known.baseline.fit);
  EXPECT_NEAR(known.baseline.fit->offsets[1].offset_deg - known.baseline.fit->offsets[0].offset_deg, 2 - 0.5 / 3, 1e-9);
  EXPECT_NEAR(known.instruments[0].repeatability->s_deg, 0.5 / std::sqrt(2.0), 1e-9);
  const Report observers =
      fit_csv("observer,azimuth,known_azimuth\nx,10.5,10\nx,100.5,100\ny,199.5,200\ny,299.5,300\n",
              {{"place", "46.5 7.25"}, {"date", "2026-06-01"}, {"set_declination", "0"}, {"known_north", "true"}});
  ASSERT_EQ(observers.instruments[0].observers.size(), 2u);
  EXPECT_NEAR(observers.instruments[0].observers[0].residual_deg, 0.5, 0.01);
}

}  // namespace
}  // namespace agonic::sightings
