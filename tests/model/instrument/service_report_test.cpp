// Which compasses need service. Limits: 3 degrees on a known line (field manuals of surveying with a compass), renewal
// within 2 years and 5 degrees (ISO 25862:2019, from secondary pages).
#include "model/instrument/service_report.hpp"

#include "tests/model/instrument/record_fixture.hpp"

namespace agonic::instrument {
namespace {

class ServiceReportTest : public RecordTest {
 protected:
  std::vector<std::string> codes(std::chrono::sys_days on = day(2026, 11, 25)) {
    std::vector<std::string> out;
    for (const Finding& finding : service_findings(record, on)) {
      out.emplace_back(finding.code);
      EXPECT_FALSE(finding.text.empty());
    }
    return out;
  }
  using Codes = std::vector<std::string>;
};

TEST_F(ServiceReportTest, OneWithoutARecordIsNamed) { EXPECT_EQ(codes(), Codes{"no-record"}); }

TEST_F(ServiceReportTest, ASmallFreshErrorIsFine) {
  error(3.0, {day(2025, 1, 1), {}});
  EXPECT_EQ(codes(), Codes{});
}

TEST_F(ServiceReportTest, LargeErrorsAreTold) {
  error(-3.01, {day(2026, 1, 1), {}});
  EXPECT_EQ(codes(), Codes{"large-index-error"});
  error(5.1, {day(2026, 2, 1), {}});
  EXPECT_EQ(codes(), Codes{"left-set"});
  IndexError curve;
  curve.curve = {0, 4.9, 0, 0, 0};
  curve.span = {day(2026, 3, 1), {}};
  change(curve);
  EXPECT_EQ(codes(), Codes{"large-index-error"});
  curve.curve.b = 5.1;
  change(curve);
  EXPECT_EQ(codes(), Codes{"magnetised"});
}

TEST_F(ServiceReportTest, AFitIsStaleAfterTwoYears) {
  error(1, {day(2024, 11, 25), {}});
  EXPECT_EQ(codes(), Codes{});
  EXPECT_EQ(codes(day(2026, 11, 26)), Codes{"stale-fit"});
  record.index_errors[0].what.span.from = day(2024, 2, 29);
  EXPECT_EQ(codes(day(2026, 2, 28)), Codes{});
  EXPECT_EQ(codes(day(2026, 3, 1)), Codes{"stale-fit"});
}

TEST_F(ServiceReportTest, WhatIsNotKnownIsTold) {
  IndexError dropped;
  dropped.known = false;
  dropped.span = {day(2026, 5, 1), {}};
  change(dropped);
  change(CircleSet{std::nullopt, {day(2026, 5, 1), {}}});
  EXPECT_EQ(codes(), (Codes{"not-known", "setting-unknown"}));
}

}  // namespace
}  // namespace agonic::instrument
