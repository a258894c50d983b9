// Which statement holds on which day. The rules are this project's own; days are UTC (ISO 8601).
#include "model/instrument/in_force.hpp"

#include "tests/model/instrument/record_fixture.hpp"

namespace agonic::instrument {
namespace {

class InForceTest : public RecordTest {
 protected:
  InForce held(const std::string& date) {
    const auto read = parse_date(date, {day(2027, 1, 1)});
    EXPECT_TRUE(read) << date;
    auto found = in_force(record, *read);
    EXPECT_TRUE(found) << date << ": " << (found ? "" : found.problem().text());
    return found ? std::move(found).value() : InForce{};
  }
  std::optional<double> constant(const std::string& date) {
    const InForce found = held(date);
    return found.azimuth ? std::optional(found.azimuth->curve.a) : std::nullopt;
  }
  Problem refusal(const std::string& date) {
    const auto found = in_force(record, *parse_date(date, {day(2027, 1, 1)}));
    return found ? Problem{} : found.problem();
  }
};

TEST_F(InForceTest, BothDaysBelongToASpanFromTheirFirstToTheirLastInstant) {
  error(1.5, {day(2026, 3, 1), day(2026, 3, 31)});
  EXPECT_EQ(refusal("2026-02-28T23:59:59Z").code, Code::instrument_unknown);
  EXPECT_EQ(constant("2026-03-01"), 1.5);
  EXPECT_EQ(constant("2026-03-01T00:00:00Z"), 1.5);
  EXPECT_EQ(constant("2026-03-31T23:59:59Z"), 1.5);
  EXPECT_EQ(refusal("2026-04-01T00:00:00Z").code, Code::instrument_unknown);
  // The day is that of UTC: one o'clock on 1 April two hours east of Greenwich is still 31 March.
  EXPECT_EQ(constant("2026-04-01T01:00+02:00"), 1.5);
  EXPECT_EQ(refusal("2026-02-28T23:00Z").message,
            "no azimuth index error is recorded for 2026-02-28; the next begins on 2026-03-01");
  EXPECT_EQ(refusal("2026-04-02").message,
            "no azimuth index error is recorded for 2026-04-02; the last one before ends on 2026-03-31");
  EXPECT_FALSE(refusal("2026-04-02").remedy.empty());
}

TEST_F(InForceTest, AnOpenEndIsTakenOverByTheNextWithoutANote) {
  error(1, {day(2024, 1, 1), {}});
  error(2, {day(2026, 1, 1), {}});
  EXPECT_EQ(constant("2025-12-31T23:59Z"), 1);
  EXPECT_EQ(constant("2026-01-01"), 2);
  EXPECT_TRUE(held("2026-01-01").notes.empty());
}

TEST_F(InForceTest, OfOverlappingStatementsTheOneRecordedLaterWinsAndSaysSo) {
  error(1, {day(2026, 1, 1), day(2026, 6, 30)});
  error(2, {day(2026, 3, 1), day(2026, 3, 31)});
  EXPECT_EQ(constant("2026-02-28"), 1);
  EXPECT_EQ(constant("2026-03-01"), 2);
  EXPECT_EQ(constant("2026-04-01"), 1);
  ASSERT_EQ(held("2026-03-15").notes.size(), 1u);
  EXPECT_EQ(held("2026-03-15").notes[0],
            "azimuth index error: version 2 covers 2026-03-15 too; version 3, recorded later, is taken");
  // Recorded later for an earlier start: it reaches over what was left open.
  error(3, {day(2025, 1, 1), {}});
  EXPECT_EQ(constant("2026-03-15"), 3);
  EXPECT_EQ(held("2026-03-15").notes.size(), 2u);
}

TEST_F(InForceTest, OneRecordedAsNotKnownEndsWhatWasKnown) {
  error(1, {day(2024, 1, 1), {}});
  IndexError dropped;
  dropped.known = false;
  dropped.span = {day(2026, 5, 1), {}};
  change(dropped);
  EXPECT_EQ(constant("2026-04-30"), 1);
  EXPECT_EQ(refusal("2026-05-01").message,
            "the azimuth index error is recorded as not known from 2026-05-01 (version 3: invented)");
  error(0.5, {day(2024, 1, 1), {}}, IndexKind::vertical, 0.2);
  const InForce found = held("2026-05-01");
  EXPECT_FALSE(found.azimuth);
  EXPECT_NE(found.azimuth_lacking.find("not known"), std::string::npos);
  ASSERT_TRUE(found.vertical);
  EXPECT_EQ(found.vertical->error_deg, 0.5);
  EXPECT_DOUBLE_EQ(found.vertical->sigma_deg, 0.2);
}

TEST_F(InForceTest, EachKindAndTheSettingAreLookedUpByThemselvesAndNamed) {
  error(1, {day(2026, 1, 1), {}});
  error(-0.25, {day(2026, 1, 1), {}}, IndexKind::vertical);
  error(0.75, {day(2026, 2, 1), {}}, IndexKind::dip);
  change(CircleSet{-13.5, {day(2026, 1, 15), {}}});
  const InForce january = held("2026-01-20");
  EXPECT_EQ(january.azimuth->curve.a, 1);
  EXPECT_EQ(january.vertical->error_deg, -0.25);
  EXPECT_FALSE(january.dip);
  EXPECT_EQ(january.setting->declination_deg, -13.5);
  EXPECT_EQ(january.named, "BR-07 as recorded: azimuth version 2, vertical version 3, setting version 5");
  EXPECT_FALSE(held("2026-01-14").setting);
  EXPECT_EQ(held("2026-02-01").dip->version, 4);
  change(CircleSet{std::nullopt, {day(2026, 7, 1), {}}});
  ASSERT_TRUE(held("2026-07-01").setting);
  EXPECT_FALSE(held("2026-07-01").setting->declination_deg);
}

TEST_F(InForceTest, ADateThatMayLieBeforeTheStatementIsNoted) {
  error(1, {day(2026, 3, 10), {}});
  EXPECT_TRUE(held("2026-03-16").notes.empty());
  ASSERT_EQ(held("2026-03").notes.size(), 1u);  // mid-month, the 16th
  EXPECT_NE(held("2026-03").notes[0].find("may be from before"), std::string::npos);
}

TEST_F(InForceTest, TheNewestDescriptionIsTakenForEveryDate) {
  error(1, {day(2024, 1, 1), {}});
  Description mended;
  mended.circle.graduation_deg = 0.5;
  change(mended);
  EXPECT_EQ(held("2024-06-01").description.circle.graduation_deg, 0.5);
  EXPECT_EQ(held("2024-06-01").description_version, 3);
}

}  // namespace
}  // namespace agonic::instrument
