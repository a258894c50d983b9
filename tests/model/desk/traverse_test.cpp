#include <cmath>

#include "tests/model/desk/desk_fixture.hpp"
#include "tests/model/reference_rows.hpp"

namespace agonic::desk {
namespace {

class TraverseTest : public DeskTest {};

// The inconsistent loop of the exercises (ques10 29409), with invented lengths.
const char* const kLoop =
    "from,to,fore,back,length_m\n"
    "A,B,188°45',7°45',120\nB,C,118°15',298°15',87.5\nC,D,346°35',166°30',95\nD,E,337°05',158°10',60\n"
    "E,A,293°30',113°00',110\n";

TEST_F(TraverseTest, TheResidueOfPlainPropagationIsReported) {
  const auto document = json(Job::traverse, kLoop, {{"tolerance_deg", "0.02"}});
  EXPECT_TRUE(noted(document, "attraction-disagrees"));
  EXPECT_TRUE(noted(document, "differences-do-not-close"));
  EXPECT_NEAR(document["figure"]["difference_sum_deg"].get<double>(), -0.5, 1e-4);
  EXPECT_NEAR(document["figure"]["angular_misclosure_deg"].get<double>(), 0.5, 1e-4);
  EXPECT_EQ(document["figure"]["held_line"], "B-C");
  EXPECT_NEAR(document["legs"][0]["azimuth_by_angles"].get<double>(), 187.85, 1e-4);
  const std::string text = answer(Job::traverse, Format::csv, Format::text, kLoop, {{"tolerance_deg", "0.02"}}).body;
  EXPECT_NE(text.find("187°51'"), std::string::npos) << text;
  EXPECT_NE(text.find("by up to 0°30'"), std::string::npos);
  EXPECT_NE(text.find("Free of local attraction: B, C."), std::string::npos);
}

TEST_F(TraverseTest, TrueAndGridAzimuthsComeWithPlaceAndDate) {
  const Options place{{"lat", "46.5"}, {"lon", "7.25"}, {"date", "2026-06-15"}};
  EXPECT_EQ(problem(Job::traverse, kLoop, place).code, Code::set_declination_unknown);
  Options set = place;
  set["set_declination"] = "2W";
  set["azimuth_index_error"] = "0.5";
  const auto document = json(Job::traverse, kLoop, set);
  const auto& leg = document["legs"][0];
  const double d = document["declination"]["declination_deg"], c = document["declination"]["convergence_deg"];
  // magnetic = reading - index error - set declination; true = magnetic + D; grid = true - convergence (the contract).
  EXPECT_NEAR(leg["azimuth_true"].get<double>(), 187.85 - 0.5 + 2 + d, 1e-4);
  EXPECT_NEAR(leg["azimuth_grid"].get<double>(), 187.85 - 0.5 + 2 + d - c, 1e-4);
  EXPECT_NEAR(leg["azimuth_sigma"].get<double>(),
              std::hypot(document["declination"]["declination_sigma_deg"].get<double>(), 0.5), 1e-12);
  set["date"] = "2026-12-24";
  EXPECT_EQ(problem(Job::traverse, kLoop, set).code, Code::date_future);
  Options pole{{"place", "85.8 139"}, {"date", "2026"}, {"set_declination", "0"}};
  EXPECT_EQ(problem(Job::traverse, kLoop, pole).code, Code::needle_unusable);
  pole["force_unusable"] = "yes";
  EXPECT_FALSE(json(Job::traverse, kLoop, pole)["legs"][0]["azimuth_true"].is_null());
  EXPECT_EQ(document["coordinates"]["north"], "grid north (UTM 32N)");
  EXPECT_EQ(json(Job::traverse, kLoop)["coordinates"]["north"], "the north of the readings");
  EXPECT_TRUE(json(Job::traverse, kLoop)["declination"].is_null());
  EXPECT_EQ(problem(Job::traverse, kLoop, {{"lat", "46.5"}}).field, "lon");
  EXPECT_EQ(problem(Job::traverse, kLoop, {{"place", "46 7"}}).code, Code::date_missing);
}

TEST_F(TraverseTest, AnUnsignedSettingOfAPersonIsRefused) {
  const Options options{{"place", "46 7"}, {"date", "2026"}, {"set_declination", "2"}};
  const auto typed = ask(Job::traverse, Format::csv, Format::text, kLoop, options, Writer::person);
  ASSERT_FALSE(typed);
  EXPECT_EQ(typed.problem().code, Code::declination_unsigned);
  EXPECT_TRUE(ask(Job::traverse, Format::csv, Format::text, kLoop, options));
}

TEST_F(TraverseTest, NotesSayWhatIsWrong) {
  EXPECT_TRUE(noted(json(Job::traverse, "from,to,fore,back\nA,B,10,192\nB,C,50,233\n"), "no-free-station"));
  EXPECT_TRUE(noted(json(Job::traverse, "from,to,fore,back\nA,B,10,12\nB,C,50,230\n"), "backsight-reversed"));
  EXPECT_TRUE(
      noted(json(Job::traverse, "from,to,fore,back\nA,B,10,13\nB,C,80,83\nC,A,200,203\n", {{"backs", "reversed"}}),
            "bent-needle"));
  EXPECT_TRUE(noted(json(Job::traverse, "from,to,fore,back\nA,B,10,190\nB,C,50,\n"), "unchecked"));
  EXPECT_TRUE(noted(json(Job::traverse, "from,to,fore,back\nA,B,10,190\nB,C,80,260\nC,A,200,30\n"), "line-misread"));
  EXPECT_TRUE(
      noted(json(Job::traverse, "from,to,fore,back\nA,B,0,180\nB,C,120,300\nC,A,240,67\n"), "angles-do-not-close"));
  EXPECT_TRUE(noted(json(Job::traverse, kLoop), "lengths-do-not-close"));
  const auto clean =
      json(Job::traverse, "from,to,fore,back,length_m\nA,B,0,180,100\nB,C,120,300,100\nC,A,240,60,100.1\n");
  ASSERT_EQ(clean["notes"].size(), 1u) << clean["notes"];
  EXPECT_EQ(clean["notes"][0]["code"], "index-error-unseen");
}

TEST_F(TraverseTest, AWideDifferenceIsMarkedOnItsLine) {
  // More than 2 degrees: hand-compass practice.
  const auto document = json(Job::traverse, "from,to,fore,back\nA,B,10,190\nB,C,50,232.5\nC,D,50,231.5\n");
  EXPECT_EQ(document["legs"][1]["checks"], nlohmann::json({"fore-back-differ"}));
  EXPECT_TRUE(document["legs"][2]["checks"].empty());
}

TEST_F(TraverseTest, CellsThatCannotBeReadRefuseTheirRow) {
  const std::string head = "from,to,fore,back,length_m,vertical_angle\nA,B,10,190,5,2\n";
  for (const auto& [row, field] :
       std::initializer_list<std::pair<const char*, const char*>>{{"A,,1,181,,", "to"},
                                                                  {"A,A,1,181,,", "to"},
                                                                  {"A,C,,,,", "fore"},
                                                                  {"A,C,361,181,,", "fore"},
                                                                  {"A,C,1,S91E,,", "back"},
                                                                  {"A,C,1,181,-3,", "length_m"},
                                                                  {"A,C,1,181,x,", "length_m"},
                                                                  {"A,C,1,181,5,95", "vertical_angle"}}) {
    const auto document = json(Job::traverse, head + row + "\n");
    EXPECT_EQ(document["legs"][1]["status"], "refused") << row;
    EXPECT_TRUE(document["legs"][1]["remark"].get<std::string>().starts_with(field)) << document["legs"][1]["remark"];
    EXPECT_EQ(document["legs"][0]["status"], "corrected");
  }
  EXPECT_EQ(problem(Job::traverse, "from,to,fore\nA,B,x\n").code, Code::not_a_number);
}

TEST_F(TraverseTest, NamesCannotSteerATerminal) {
  const std::string csv = "from,to,fore,back,length_m\n\x1b[2JA,B,10,192,5\n";
  EXPECT_EQ(answer(Job::traverse, Format::csv, Format::text, csv).body.find('\x1b'), std::string::npos);
  EXPECT_EQ(json(Job::traverse, csv)["stations"][0]["station"], "\x1b[2JA");
}

TEST_F(TraverseTest, UnitsAreDeclared) {
  const auto document = json(Job::traverse, "from,to,fore,back,length_m,vertical_angle\nA,B,100,300,10,100\n",
                             {{"azimuth_unit", "gon"}, {"vertical_unit", "percent"}});
  EXPECT_EQ(document["legs"][0]["azimuth_by_stations"], 90.0);
  EXPECT_NEAR(document["coordinates"]["stations"][1]["measured"]["up_m"].get<double>(), 7.0711, 1e-4);
}

TEST_F(TraverseTest, VerticalAnglesReadBothWaysShowTheirIndexError) {
  for (const auto& row : reference_rows("vertical_reversal.txt")) {
    const auto document = json(
        Job::traverse, "from,to,fore,back,vertical_angle,vertical_back\nA,B,10,190," + row[0] + "," + row[1] + "\n");
    const auto& leg = document["legs"][0];
    const double tolerance = reference_tolerance("vertical_reversal.txt");
    EXPECT_NEAR(leg["vertical_index_error"].get<double>(), std::stod(row[2]), tolerance);
    EXPECT_NEAR(leg["vertical_corrected"].get<double>(), std::stod(row[3]), tolerance);
    EXPECT_TRUE(noted(document, "vertical-index"));
    EXPECT_FALSE(noted(document, "vertical-differ"));
  }
  const std::string head = "from,to,fore,back,vertical_angle,vertical_back\n";
  EXPECT_EQ(json(Job::traverse, head + "A,B,10,190,8,-5.9\n")["legs"][0]["checks"],
            nlohmann::json({"vertical-differ"}));
  EXPECT_EQ(json(Job::traverse, head + "A,B,10,190,8,-6\n")["legs"][0]["checks"], nlohmann::json::array());
  EXPECT_EQ(json(Job::traverse, head + "A,B,10,190,8,8\nB,C,1,181,1,1\n")["legs"][0]["status"], "refused");
  EXPECT_EQ(json(Job::traverse, head + "A,B,10,190,8,8\nB,C,1,181,1,1\n")["legs"][1]["status"], "corrected");
  EXPECT_EQ(json(Job::traverse, head + "A,B,10,10,8,8\n", {{"backs", "reversed"}})["legs"][0]["vertical_corrected"],
            8.0);
  EXPECT_EQ(json(Job::traverse, head + "A,B,10,190,,-8\n")["legs"][0]["vertical_corrected"], 8.0);
}

TEST_F(TraverseTest, TheDemoDoesWhatItsReadmeSays) {
  const auto document = json(Job::traverse, demo("traverse.csv"));
  std::string free;
  for (const auto& station : document["stations"])
    if (station["state"] == "free") free += station["station"].get<std::string>();
  EXPECT_EQ(free, "P1P2P3P5P6");
  EXPECT_NEAR(document["stations"][3]["correction_deg"].get<double>(), -4, 0.5);
  EXPECT_LT(document["coordinates"]["misclosure_m"].get<double>(), 0.5);
}

}  // namespace
}  // namespace agonic::desk
