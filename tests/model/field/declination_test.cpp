// Choice of the model, uncertainty, seams, needle zones and warnings.

#include "model/field/declination.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>

#include "field_fixture.hpp"
#include "layouts.hpp"
#include "model/units/angle.hpp"

namespace agonic::field {
namespace {

const Catalogue& catalogue() { return built_in_catalogue(); }

std::string chosen(const Catalogue& from, std::string_view name, double year) {
  const auto choice = from.choose(name, year);
  return choice ? choice->model->id : "refused: " + choice.problem().text();
}

TEST(Auto, TakesEachModelInItsSpanAndTheLastEndIncluded) {
  EXPECT_EQ(chosen(catalogue(), "auto", 1590.0), "gufm1");
  EXPECT_EQ(chosen(catalogue(), "auto", std::nextafter(1900.0, 0)), "gufm1");
  EXPECT_EQ(chosen(catalogue(), "auto", 1900.0), "igrf14");
  EXPECT_EQ(chosen(catalogue(), "auto", std::nextafter(2025.0, 0)), "igrf14");
  EXPECT_EQ(chosen(catalogue(), "auto", 2025.0), "wmm2025");
  EXPECT_EQ(chosen(catalogue(), "auto", 2030.0), "wmm2025");
  EXPECT_EQ(catalogue().first_year(), 1590);
  EXPECT_EQ(catalogue().last_year(), 2030);
}

TEST(Named, ServesItsWholeClosedSpan) {
  EXPECT_EQ(chosen(catalogue(), "gufm1", 1990.0), "gufm1");
  EXPECT_EQ(chosen(catalogue(), "igrf14", 2030.0), "igrf14");
  EXPECT_EQ(chosen(catalogue(), "wmm2020", 2025.0), "wmm2020");
  EXPECT_EQ(catalogue().choose("igrf14", 1900.0)->neighbour, nullptr);
}

TEST(Refusal, SaysTheSpanAndWhatWouldDo) {
  const auto early = catalogue().choose("wmm2025", 2019.3);
  ASSERT_FALSE(early);
  EXPECT_EQ(early.problem().code, Code::date_outside_models);
  EXPECT_EQ(early.problem().message, "wmm2025 serves 2025.0 to 2030.0");
  EXPECT_EQ(early.problem().remedy, "igrf14 or model=auto serves 2019.3.");
  for (const double year : {1589.999, 2030.001, std::nan(""), std::numeric_limits<double>::infinity()}) {
    const auto outside = catalogue().choose("auto", year);
    ASSERT_FALSE(outside);
    EXPECT_NE(outside.problem().remedy.find("1590.0 to 2030.0"), std::string::npos);
    EXPECT_FALSE(catalogue().choose("gufm1", year));
  }
  const auto unknown = catalogue().choose("wmm1985", 1985.5);
  ASSERT_FALSE(unknown);
  EXPECT_EQ(unknown.problem().code, Code::model_unknown);
  EXPECT_NE(unknown.problem().remedy.find("auto, wmm2025, wmmhr2025, wmm2020, igrf14, gufm1"), std::string::npos);
}

Catalogue with(std::vector<CoefficientText> more) {
  auto texts = built_in_texts();
  texts.insert(texts.end(), more.begin(), more.end());
  return Catalogue(texts);
}

CoefficientText newer_wmm(const std::string& name, double epoch) {
  return {name + ".COF", wmm_layout(built_in("wmm2025"), name, epoch), "", ""};
}

TEST(DroppedIn, ANewerWmmJoinsAutoFromItsEpoch) {
  const Catalogue c = with({newer_wmm("WMM-2030", 2030)});
  EXPECT_EQ(chosen(c, "auto", 2029.999), "wmm2025");
  EXPECT_EQ(chosen(c, "auto", 2030.0), "wmm2030");
  EXPECT_EQ(chosen(c, "wmm2025", 2030.0), "wmm2025");
  EXPECT_EQ(c.last_year(), 2035);
  EXPECT_EQ(c.choose("auto", 2029.5)->neighbour->id, "wmm2030");
  // An early replacement takes over from its own epoch.
  EXPECT_EQ(chosen(with({newer_wmm("WMM-2027", 2027.5)}), "auto", 2028.0), "wmm2027");
}

TEST(DroppedIn, AGapStaysAGap) {
  const Catalogue c = with({newer_wmm("WMM-2035", 2035)});
  EXPECT_EQ(chosen(c, "auto", 2030.0), "wmm2025");
  EXPECT_FALSE(c.choose("auto", 2032.0));
  EXPECT_EQ(chosen(c, "auto", 2035.0), "wmm2035");
  EXPECT_EQ(c.choose("auto", 2035.0)->neighbour, nullptr);
}

TEST(DroppedIn, OtherModelsServeByNameOnly) {
  const Catalogue c = with({{"IGRF15.shc", shc_layout(built_in("igrf14")), "", ""},
                            {"HR.COF", wmm_layout(built_in("wmmhr2025"), "WMMHR-2030", 2030), "", ""}});
  EXPECT_EQ(chosen(c, "auto", 2020.0), "igrf14");
  EXPECT_EQ(chosen(c, "igrf15", 2020.0), "igrf15");
  EXPECT_EQ(c.last_year(), 2030);
}

TEST(DroppedIn, ASecondModelOfOneIdIsRefusedUnlessItIsTheSame) {
  const CoefficientText same = newer_wmm("WMM-2025", 2025);
  EXPECT_EQ(with({same}).models().size(), 5u);
  CoefficientText other = same;
  other.table = replaced(other.table, "-29351.8", "-29351.7");
  try {
    with({other});
    FAIL();
  } catch (const BadCoefficients& bad) {
    EXPECT_NE(std::string(bad.what()).find("'wmm2025' is known already"), std::string::npos);
  }
  EXPECT_THROW(with({newer_wmm("auto", 2030)}), BadCoefficients);
  EXPECT_THROW(with({newer_wmm("WMM-2030a", 2030), newer_wmm("WMM-2030b", 2030)}), BadCoefficients);
}

TEST(Sigma, IsThePublishedErrorModelOfTheWmmFamily) {
  // Worked by hand from a and b of each model (from memory): sqrt(a^2 + (b/H)^2).
  const auto sigma = [](std::string_view id, double h) {
    return declination_uncertainty(built_in(id), 2025.0, h).sigma_deg;
  };
  const std::array<std::pair<double, double>, 5> wmm2020{
      {{40000, 0.2956}, {20000, 0.3830}, {10000, 0.6197}, {6000, 0.9729}, {2000, 2.8245}}};
  for (const auto& [h, expected] : wmm2020) EXPECT_NEAR(sigma("wmm2020", h), expected, 0.00005);
  EXPECT_NEAR(sigma("wmm2025", 20000), std::hypot(0.26, 5417.0 / 20000), 1e-12);
  EXPECT_NEAR(sigma("wmmhr2025", 20000), std::hypot(0.25, 5205.0 / 20000), 1e-12);
  EXPECT_NEAR(declination_uncertainty(built_in("wmm2025"), 2026, 20000).half_width_95_deg, 33232.0 / 20000, 1e-12);
  EXPECT_NE(declination_uncertainty(built_in("wmm2025"), 2026, 20000).sigma_basis.find("WMM2025"), std::string::npos);
}

struct Row {
  const char* id;
  double year, a68, b68, added, a95, b95;
  const char* basis;
};

TEST(Sigma, FollowsTheObservatoriesElsewhere) {
  const std::array<Row, 9> rows{{{"gufm1", 1840, 0.14, 5443, 0, 0, 17189, "1840 to 1900"},
                                 {"gufm1", 1899, 0.14, 5443, 0, 0, 17189, "1840 to 1900"},
                                 {"gufm1", 1839.9, 0.14, 5443, 0.5, 0, 17189, "before 1840"},
                                 {"gufm1", 1700, 0.14, 5443, 0.5, 0, 17189, "before 1840"},
                                 {"gufm1", 1699.9, 0.14, 5443, 1.0, 0, 17189, "before 1700"},
                                 {"igrf14", 1900, 0.12, 6589, 0, 0.40, 24064, "1900 to 1945"},
                                 {"igrf14", 1944.9, 0.12, 6589, 0, 0.40, 24064, "1900 to 1945"},
                                 {"igrf14", 1945, 0.04, 5730, 0, 0, 33232, "1945 to 2019"},
                                 {"igrf14", 2030, 0.04, 5730, 0, 0, 33232, "1945 to 2019"}}};
  for (const Row& row : rows) {
    for (const double h : {40000.0, 12345.0, 2000.0}) {
      const auto u = declination_uncertainty(built_in(row.id), row.year, h);
      EXPECT_NEAR(u.sigma_deg, std::sqrt(row.a68 * row.a68 + std::pow(row.b68 / h, 2) + row.added * row.added), 1e-12);
      EXPECT_NEAR(u.half_width_95_deg,
                  std::sqrt(row.a95 * row.a95 + std::pow(row.b95 / h, 2) + 4 * row.added * row.added), 1e-12);
      EXPECT_NE(u.sigma_basis.find(row.basis), std::string::npos) << row.id << row.year;
    }
  }
}

TEST(Sigma, OfAModelWithoutAKnownErrorIsTheRowSince1945AndSaysSo) {
  const Catalogue c = with({newer_wmm("WMM-2030", 2030)});
  const auto u = declination_uncertainty(*c.find("wmm2030"), 2031, 20000);
  EXPECT_NEAR(u.sigma_deg, std::hypot(0.04, 5730.0 / 20000), 1e-12);
  EXPECT_NE(u.sigma_basis.find("no error model is known"), std::string::npos);
}

TEST(Sigma, IsCappedWhereNothingIsKnown) {
  for (const std::string& id : all_ids()) {
    for (const double h : {0.0, 1e-300, 1.0}) {
      const auto u = declination_uncertainty(built_in(id), built_in(id).valid_from, h);
      EXPECT_EQ(u.sigma_deg, 180) << id;
      EXPECT_EQ(u.half_width_95_deg, 180) << id;
    }
  }
}

TEST(Seam, StepAtTheJoinIsNamedAndAddedWithinAYear) {
  const struct {
    double join;
    const char* older;
    const char* newer;
  } joins[] = {{1900, "gufm1", "igrf14"}, {2025, "igrf14", "wmm2025"}};
  for (const auto& join : joins) {
    const double older = elements(evaluate(built_in(join.older), 60, 25, 200, join.join)).declination_deg;
    const double newer = elements(evaluate(built_in(join.newer), 60, 25, 200, join.join)).declination_deg;
    for (const double off : {-1.0, -0.25, 0.0, 1.0}) {
      const auto answer = field_answer(catalogue(), "auto", {60, 25, 200, join.join + off});
      ASSERT_TRUE(answer);
      EXPECT_EQ(answer->model->id, off < 0 ? join.older : join.newer);
      ASSERT_TRUE(answer->seam_step_deg);
      EXPECT_NEAR(*answer->seam_step_deg, newer - older, 1e-12);
      const auto plain = declination_uncertainty(*answer->model, join.join + off, answer->elements.horizontal_nt);
      EXPECT_NEAR(answer->sigma_deg, std::hypot(plain.sigma_deg, newer - older), 1e-12);
      EXPECT_NEAR(answer->half_width_95_deg, std::hypot(plain.half_width_95_deg, newer - older), 1e-12);
      const auto said = warnings(*answer);
      ASSERT_FALSE(said.empty());
      EXPECT_TRUE(said[0].starts_with(std::string(join.older) + " and " + join.newer + " differ by 0.")) << said[0];
      EXPECT_NE(said[0].find("added to the uncertainty"), std::string::npos);
    }
    EXPECT_FALSE(field_answer(catalogue(), "auto", {60, 25, 200, join.join - 1.01})->seam_step_deg);
    EXPECT_FALSE(field_answer(catalogue(), "auto", {60, 25, 200, join.join + 1.01})->seam_step_deg);
    EXPECT_FALSE(field_answer(catalogue(), join.newer, {60, 25, 200, join.join})->seam_step_deg);
  }
}

TEST(Needle, ZonesAreHalfOpen) {
  EXPECT_EQ(needle(0), Needle::unusable);
  EXPECT_EQ(needle(std::nextafter(2000.0, 0)), Needle::unusable);
  EXPECT_EQ(needle(2000), Needle::caution);
  EXPECT_EQ(needle(std::nextafter(6000.0, 0)), Needle::caution);
  EXPECT_EQ(needle(6000), Needle::usable);
  EXPECT_EQ(needle(std::nan("")), Needle::unusable);
  EXPECT_EQ(word(Needle::caution), "caution");
}

TEST(SmallScale, IsTheDifferenceOfTheTwoModelsWhereBothServe) {
  const auto answer = field_answer(catalogue(), "auto", {47, 8, 500, 2027.0});
  ASSERT_TRUE(answer->small_scale_deg);
  const double fine = elements(evaluate(built_in("wmmhr2025"), 47, 8, 500, 2027.0)).declination_deg;
  EXPECT_NEAR(*answer->small_scale_deg, fine - answer->elements.declination_deg, 1e-12);
  EXPECT_TRUE(field_answer(catalogue(), "igrf14", {47, 8, 500, 2027.0})->small_scale_deg);
  EXPECT_FALSE(field_answer(catalogue(), "auto", {47, 8, 500, 2024.9})->small_scale_deg);
  EXPECT_FALSE(field_answer(Catalogue({built_in_texts()[0]}), "auto", {47, 8, 500, 2027.0})->small_scale_deg);
}

TEST(SmallScale, IsWarnedOfExactlyWhereItExceedsTheSigmaOfWmm2025) {
  int warned = 0;
  int silent = 0;
  for (double lat = -60; lat <= 70; lat += 10) {
    for (double lon = -180; lon < 180; lon += 10) {
      const auto answer = field_answer(catalogue(), "auto", {lat, lon, 0, 2027.0});
      const double h = elements(evaluate(built_in("wmm2025"), lat, lon, 0, 2027.0)).horizontal_nt;
      const bool large = std::abs(*answer->small_scale_deg) > std::hypot(0.26, 5417 / h);
      bool said = false;
      for (const std::string& text : warnings(*answer)) said = said || text.find("small-scale") != std::string::npos;
      EXPECT_EQ(said, large) << lat << " " << lon;
      (large ? warned : silent) += 1;
    }
  }
  EXPECT_GT(warned, 0);
  EXPECT_GT(silent, warned);
}

TEST(Warnings, ComeInAFixedOrder) {
  // Near the dip pole of the north (check table of wmm2025): needle, tilt, ..., and no direction at all.
  const auto answer = field_answer(catalogue(), "auto", {85.762, 139.298, 0, 2025.0});
  EXPECT_EQ(answer->needle, Needle::unusable);
  const auto said = warnings(*answer);
  ASSERT_GE(said.size(), 3u);
  EXPECT_NE(said[0].find("needle"), std::string::npos);
  EXPECT_NE(said[1].find("off level"), std::string::npos);
  EXPECT_NE(said[2].find("differ by"), std::string::npos);
  FieldAnswer upright;
  upright.model = &built_in("wmm2025");
  upright.needle = Needle::unusable;
  EXPECT_NE(warnings(upright).back().find("undefined"), std::string::npos);
  EXPECT_TRUE(warnings(*field_answer(catalogue(), "igrf14", {45, 5, 0, 1980.5})).empty());
}

TEST(Tilt, IsTheTangentOfTheInclination) {
  const auto answer = field_answer(catalogue(), "wmm2025", {70, 20, 0, 2026.0});
  EXPECT_NEAR(answer->tilt_error_deg_per_deg, std::tan(answer->elements.inclination_deg * kDegree), 1e-9);
  EXPECT_GT(field_answer(catalogue(), "wmm2025", {-40, 20, 0, 2026.0})->tilt_error_deg_per_deg, 0);
}

TEST(Spots, OutsideTheirRangesAreRefused) {
  const double nan = std::nan("");
  const double inf = std::numeric_limits<double>::infinity();
  const auto code = [](Spot spot) {
    const auto answer = field_answer(catalogue(), "auto", spot);
    return answer ? std::string("answered") : std::string(word(answer.problem().code));
  };
  for (const double lat : {90.0000001, -91.0, 1e300, nan, inf})
    EXPECT_EQ(code({lat, 0, 0, 2026}), "place-out-of-range");
  for (const double lon : {360.001, -180.001, nan, -inf}) EXPECT_EQ(code({0, lon, 0, 2026}), "place-out-of-range");
  for (const double h : {-10001.0, 850001.0, nan, inf})
    EXPECT_EQ(code({0, 0, h, 2026}), word(Code::height_out_of_range));
  for (const double year : {nan, inf, 1500.0, 2031.0})
    EXPECT_EQ(code({0, 0, 0, year}), word(Code::date_outside_models));
  EXPECT_EQ(code({90, 360, 850000, 2030}), "answered");
  EXPECT_EQ(code({-90, -180, -10000, 1590}), "answered");
}

TEST(Columns, GiveTheSameAsOneByOneInOrder) {
  std::vector<Spot> spots;
  spots.reserve(300);
  for (int i = 0; i < 300; ++i) {
    spots.push_back({-85 + 0.55 * i, -170 + 1.7 * i, 10.0 * i, 1590 + (i * 37 % 440) + 0.3});
  }
  spots[17].lat_deg = 100;
  const auto all = field_answers(catalogue(), "auto", spots, true);
  ASSERT_EQ(all.size(), spots.size());
  for (std::size_t i = 0; i < spots.size(); ++i) {
    const auto one = field_answer(catalogue(), "auto", spots[i]);
    ASSERT_EQ(static_cast<bool>(one), static_cast<bool>(all[i])) << i;
    if (!one) continue;
    EXPECT_EQ(one->model, all[i]->model);
    EXPECT_EQ(one->elements.declination_deg, all[i]->elements.declination_deg);
    EXPECT_EQ(one->sigma_deg, all[i]->sigma_deg);
    EXPECT_EQ(one->half_width_95_deg, all[i]->half_width_95_deg);
    EXPECT_EQ(one->seam_step_deg, all[i]->seam_step_deg);
    EXPECT_EQ(one->small_scale_deg, all[i]->small_scale_deg);
  }
  EXPECT_FALSE(all[17]);
  EXPECT_FALSE(field_answers(catalogue(), "auto", std::vector<Spot>{{0, 0, 0, 2026}})[0]->small_scale_deg);
}

}  // namespace
}  // namespace agonic::field
