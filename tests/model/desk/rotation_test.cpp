#include "tests/model/desk/desk_fixture.hpp"

namespace agonic::desk {
namespace {

class RotationTest : public DeskTest {};

TEST_F(RotationTest, TheDeclinationOfTheOldSurveyIsImplied) {
  // Old S40°40'W, now S54°35'W at 8°30'E: 22°25'E then (24houranswers 9032, worked independently).
  const auto document = json(Job::rotation, "old,found\nS40°40'W,S54°35'W\n",
                             {{"found_reference", "magnetic"}, {"found_declination", "8°30'E"}});
  EXPECT_NEAR(document["implied_declination_deg"].get<double>(), 22 + 25 / 60.0, 1e-9);
  EXPECT_EQ(document["implied_declination_text"], "22.42 E (+22.42)");
  EXPECT_TRUE(noted(document, "pairs-few"));
  EXPECT_TRUE(document["spread_deg"].is_null());
}

TEST_F(RotationTest, LinesNotYetFoundAreTold) {
  // 1890 AB S30°50'E, BC N85°30'E; 1960 AB S21°10'E: BC is S84°50'E (jerrymahun.com VI, worked independently).
  const auto document = json(Job::rotation, "old,found\nS30°50'E,S21°10'E\nN85°30'E,\n");
  EXPECT_NEAR(document["pairs"][1]["azimuth_expected"].get<double>(), 95 + 10 / 60.0, 1e-9);
  EXPECT_EQ(document["pairs"][1]["status"], "told");
  EXPECT_TRUE(noted(document, "found-north-unsaid"));
  const std::string text =
      answer(Job::rotation, Format::csv, Format::text, "old,found\nS30°50'E,S21°10'E\nN85°30'E,\n").body;
  EXPECT_NE(text.find("S84°50'E"), std::string::npos) << text;
}

TEST_F(RotationTest, AMissedCornerIsAPair) {
  // N45E, 20 chains, the corner 20 links to the left: 0.573 degrees (rule 57.3 times offset over length).
  const auto document = json(Job::rotation, "old,offset,length\nN45E,-20,2000\n");
  EXPECT_NEAR(document["rotation_deg"].get<double>(), -0.573, 0.0005);
  EXPECT_EQ(json(Job::rotation, "old,found,offset,length\n10,12,,\n20,,5,\n30,32,1,9\n10,,1,x\n")["pairs"][2]["status"],
            "refused");
}

TEST_F(RotationTest, TheModelIsComparedWithItsUncertainty) {
  const Options where{{"found_reference", "true"}, {"place", "42.3 -71.0"}, {"date", "1850-07-01"}};
  const auto first = json(Job::rotation, "old,found\n10,0\n100,90.2\n250,239.9\n", where);
  const double d = first["model"]["declination_deg"];
  EXPECT_EQ(first["model"]["model"], "gufm1");
  EXPECT_NEAR(d, -9.7, 0.7);  // Coast Survey formula for Boston: 9.68 W in 1850
  EXPECT_FALSE(noted(first, "rotation-against-model"));
  EXPECT_NEAR(first["against_model_deg"].get<double>(), first["implied_declination_deg"].get<double>() - d, 1e-9);
  EXPECT_GT(first["against_model_95_deg"].get<double>(), first["model"]["declination_95_deg"].get<double>());
  // The same with the other sign, and with nothing: asked about by name.
  const auto note = [&](const std::string& csv) {
    const auto document = json(Job::rotation, csv, where);
    for (const auto& n : document["notes"])
      if (n["code"] == "rotation-against-model") return n["text"].get<std::string>();
    return std::string("none");
  };
  EXPECT_NE(note("old,found\n10,19.8\n100,109.7\n250,260\n").find("other sign"), std::string::npos);
  EXPECT_NE(note("old,found\n10,10\n100,100.1\n250,250\n").find("true already"), std::string::npos);
  EXPECT_NE(note("old,found\n10,50\n100,140\n250,290\n").find("local rock"), std::string::npos);
}

TEST_F(RotationTest, TheStepBetweenTheModelsNear1900IsCarried) {
  const Options at{{"found_reference", "true"}, {"place", "42.3 -71.0"}, {"date", "1900-03-01"}};
  const auto document = json(Job::rotation, "old,found\n10,0\n100,90\n250,240\n", at);
  bool seam = false;
  for (const auto& note : document["notes"])
    seam = seam || note["text"].get<std::string>().find("gufm1") != std::string::npos;
  EXPECT_TRUE(seam) << document["notes"];
}

TEST_F(RotationTest, SpreadAndOutliersAreSaid) {
  EXPECT_TRUE(noted(json(Job::rotation, "old,found\n10,12\n100,103\n250,251\n30,32.5\n"), "rotation-spread"));
  EXPECT_FALSE(noted(json(Job::rotation, "old,found\n10,12\n100,102.25\n250,251.75\n30,32\n"), "rotation-spread"));
  const auto document = json(Job::rotation, "old,found\n10,12\n100,102.25\n250,251.75\n30,42\n");
  EXPECT_TRUE(noted(document, "pair-outlying"));
  EXPECT_EQ(document["pairs"][3]["status"], "left-out");
  EXPECT_EQ(document["pairs_used"], 3);
}

TEST_F(RotationTest, TheNorthOfFoundDirectionsIsNeverGuessed) {
  const std::string csv = "old,found\n10,12\n100,102\n250,252\n";
  EXPECT_EQ(problem(Job::rotation, csv, {{"found_declination", "3E"}}).code, Code::north_reference_missing);
  EXPECT_EQ(problem(Job::rotation, csv, {{"found_reference", "magnetic"}}).code, Code::date_missing);
  EXPECT_EQ(problem(Job::rotation, csv, {{"found_reference", "magnetic"}, {"found_date", "2026"}}).field, "place");
  EXPECT_EQ(
      problem(Job::rotation, csv, {{"found_reference", "magnetic"}, {"found_date", "2026"}, {"place", "85.8 139"}})
          .code,
      Code::needle_unusable);
  EXPECT_EQ(
      problem(Job::rotation, csv, {{"found_reference", "magnetic"}, {"found_date", "2027"}, {"place", "45 7"}}).code,
      Code::date_future);
  EXPECT_EQ(problem(Job::rotation, csv, {{"found_reference", "up"}}).code, Code::unknown_name);
  EXPECT_EQ(problem(Job::rotation, "old,found\nx,12\n").code, Code::missing_value);
  // Grid directions are turned by the convergence of the place.
  const auto grid = json(Job::rotation, csv, {{"found_reference", "grid"}, {"place", "46.5 7.25"}, {"date", "1950"}});
  const double c = grid["model"]["convergence_deg"];
  EXPECT_NEAR(grid["implied_declination_deg"].get<double>(), 2 + c, 1e-9);
}

TEST_F(RotationTest, TheDemoDoesWhatItsReadmeSays) {
  const auto document = json(Job::rotation, demo("old-lines.csv"),
                             {{"found_reference", "true"}, {"place", "58.42 -129.60"}, {"date", "1925"}});
  EXPECT_EQ(document["pairs"][4]["status"], "left-out");
  EXPECT_EQ(document["pairs"][5]["status"], "told");
  EXPECT_FALSE(noted(document, "rotation-against-model"));
  EXPECT_LT(std::abs(document["against_model_deg"].get<double>()), 0.5);
}

}  // namespace
}  // namespace agonic::desk
