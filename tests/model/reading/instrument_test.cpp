// Rows that name an instrument: what its record held on the reading's date, and what stands before and behind it
// (the precedence is cell, instrument, default).
#include <cmath>
#include <memory>

#include "model/instrument/registry.hpp"
#include "tests/model/reading/reading_fixture.hpp"

namespace agonic::reading {
namespace {

using instrument::IndexKind;

std::chrono::sys_days day(int y, unsigned m, unsigned d) {
  return std::chrono::year(y) / static_cast<int>(m) / static_cast<int>(d);
}

// K1: graduation 0.5; azimuth +0.4 +/- 0.2 from March 2026, unknown from September; vertical +0.5 and a setting of 2.5
// E from April on. K2: a curve, known unequally well.
std::shared_ptr<const instrument::Registry> registry() {
  instrument::Record one;
  one.id = "K1";
  instrument::Description description;
  description.circle.graduation_deg = 0.5;
  const auto put = [&](instrument::Record& record, const instrument::Change& change) {
    const int version = record.version + 1;
    ASSERT_FALSE(instrument::add(record, {version, "local", "2026-11-25T00:00:00Z", "test"}, change));
  };
  const auto index = [](IndexKind kind, double error, double sigma, std::chrono::sys_days from) {
    instrument::IndexError out;
    out.kind = kind;
    out.curve.a = error;
    out.covariance = instrument::IndexCovariance::constant(sigma);
    out.span.from = from;
    return out;
  };
  put(one, description);
  put(one, index(IndexKind::azimuth, 0.4, 0.2, day(2026, 3, 1)));
  put(one, index(IndexKind::vertical, 0.5, 0.1, day(2026, 4, 1)));
  put(one, instrument::CircleSet{2.5, {day(2026, 4, 1), std::nullopt}});
  instrument::IndexError dropped = index(IndexKind::azimuth, 0, 0, day(2026, 9, 1));
  dropped.known = false;
  put(one, dropped);
  instrument::Record two;
  two.id = "K2";
  put(two, instrument::Description{});
  instrument::IndexError curve = index(IndexKind::azimuth, 1, 0.3, day(2020, 1, 1));
  curve.curve.b = 2;
  curve.covariance.upper[instrument::IndexCovariance::at(1, 1)] = 0.16;
  put(two, curve);
  instrument::Record four;
  four.id = "K4";
  put(four, instrument::Description{});
  put(four, index(IndexKind::azimuth, 0, 0.1, day(2026, 1, 1)));
  put(four, index(IndexKind::vertical, 0.5, 0.1, day(2026, 1, 1)));
  put(four, index(IndexKind::dip, 0, 0.1, day(2026, 1, 1)));
  instrument::IndexError lost = index(IndexKind::dip, 0, 0, day(2026, 9, 1));
  lost.known = false;
  put(four, lost);
  return std::make_shared<instrument::MemoryRegistry>(std::vector{one, two, four});
}

Rules with_registry(const Row& defaults = {}) {
  Rules rules = rules_with(defaults);
  rules.instruments = registry();
  return rules;
}

Row taken_with(const std::string& id, const Row& more = {}) {
  Row row = row_with({{"instrument", id}, {"set_declination", ""}});
  for (const auto& [name, value] : more) row[name] = value;
  return row;
}

TEST(Instrument, TheRecordGivesIndexErrorAndSettingAndIsNamed) {
  const Outcome out = done(taken_with("K1"), with_registry());
  // 100 read - 2.5 set - 0.4 + 10 observed: written out.
  EXPECT_NEAR(value(out, Added::azimuth_true), 107.1, 1e-9);
  EXPECT_NEAR(value(out, Added::index_error_used), 0.4, 1e-12);
  EXPECT_NEAR(value(out, Added::set_declination_used), 2.5, 1e-12);
  EXPECT_TRUE(has(out.remark, "K1 as recorded: azimuth version 2, vertical version 3, setting version 4"))
      << out.remark;
  // Declination 0.3, index 0.2, half a degree's graduation (contract: sqrt of the squares).
  EXPECT_NEAR(value(out, Added::azimuth_sigma), std::sqrt(0.09 + 0.04 + 0.25 / 12), 1e-9);
}

TEST(Instrument, TheSpreadIsTheCurvesAtThatHeading) {
  const Row row = taken_with("K2", {{"set_declination", "0"}, {"graduation", "0.001"}});
  const double m = value(done(row, with_registry()), Added::azimuth_magnetic);
  const double sine = std::sin(m * std::acos(-1.0) / 180);
  const Outcome out = done(row, with_registry());
  EXPECT_NEAR(value(out, Added::index_error_used), 1 + 2 * sine, 1e-9);
  EXPECT_NEAR(value(out, Added::azimuth_sigma), std::sqrt(0.09 + 0.09 + 0.16 * sine * sine), 1e-6);
}

TEST(Instrument, TheCellStandsBeforeItAndTheDefaultBehind) {
  EXPECT_NEAR(value(done(taken_with("K1", {{"azimuth_index_error", "1"}, {"set_declination", "0"}}), with_registry()),
                    Added::azimuth_true),
              109, 1e-9);
  // Before April nothing is recorded as set: then the default counts.
  const Row march = taken_with("K1", {{"date", "2026-03-15"}});
  EXPECT_EQ(refused_row(march, with_registry()).code, Code::set_declination_unknown);
  EXPECT_NEAR(value(done(march, with_registry({{"set_declination", "1"}})), Added::azimuth_true), 108.6, 1e-9);
  EXPECT_NEAR(value(done(taken_with("K1"), with_registry({{"set_declination", "1"}, {"azimuth_index_error", "5"}})),
                    Added::azimuth_true),
              107.1, 1e-9);
}

TEST(Instrument, WhatNobodyKnowsIsRefused) {
  const auto code = [](const Row& row, const Row& defaults = {}) {
    return refused_row(row, with_registry(defaults)).code;
  };
  EXPECT_EQ(code(taken_with("K3")), Code::instrument_unknown);
  EXPECT_EQ(code(taken_with("K1", {{"date", "2026-02-01"}})), Code::instrument_unknown);  // before the record
  EXPECT_EQ(code(taken_with("K1", {{"date", "2026-09-02"}, {"set_declination", "0"}})), Code::instrument_unknown);
  const Row plane = taken_with("K1", {{"dip", "40"}, {"plane_convention", "right_hand"}});
  EXPECT_EQ(code(plane), Code::instrument_unknown);  // no dip index error
  EXPECT_NEAR(value(done(plane, with_registry({{"dip_index_error", "0"}})), Added::dip_corrected), 40, 1e-12);
  EXPECT_NEAR(
      value(done(taken_with("K1", {{"vertical_angle", "6"}}), with_registry()), Added::vertical_angle_corrected), 5.5,
      1e-12);
  // Without a registry only the row itself can say what the instrument reads wrong.
  EXPECT_EQ(refused_row(row_with({{"instrument", "K1"}})).code, Code::instrument_unknown);
  EXPECT_NEAR(value(done(row_with({{"instrument", "K1"}, {"azimuth_index_error", "0"}})), Added::azimuth_true), 110,
              1e-9);
  EXPECT_EQ(refused_row(row_with({{"instrument", "K1"}, {"azimuth_index_error", "0"}, {"vertical_angle", "6"}})).code,
            Code::instrument_unknown);
}

TEST(Instrument, WhatIsRecordedAsNotKnownIsHealedByNoDefault) {
  const Row september{{"date", "2026-09-02"}, {"set_declination", "0"}};
  EXPECT_EQ(refused_row(taken_with("K1", september), with_registry({{"azimuth_index_error", "0"}})).code,
            Code::instrument_unknown);
  Row plane = september;
  plane.insert({{"dip", "40"}, {"plane_convention", "right_hand"}});
  EXPECT_EQ(refused_row(taken_with("K4", plane), with_registry({{"dip_index_error", "0"}})).code,
            Code::instrument_unknown);
  plane["dip_index_error"] = "0";
  EXPECT_NEAR(value(done(taken_with("K4", plane), with_registry()), Added::dip_corrected), 40, 1e-12);
}

// Sighted: read too shallow by the vertical index error; laid on the rock: not touched by it (contract of the columns).
TEST(Instrument, HowAPlungeWasReadIsSaidByTheRowAlone) {
  const Row line{{"plunge", "30"}, {"set_declination", "0"}};
  EXPECT_EQ(refused_row(taken_with("K4", line), with_registry()).code, Code::contradiction);
  Row laid = line, sighted = line;
  laid["dip_index_error"] = "0";
  sighted["vertical_index_error"] = "0.5";
  EXPECT_NEAR(value(done(taken_with("K4", laid), with_registry()), Added::plunge_corrected), 30, 1e-12);
  EXPECT_NEAR(value(done(taken_with("K4", sighted), with_registry()), Added::plunge_corrected), 30.5, 1e-12);
}

}  // namespace
}  // namespace agonic::reading
