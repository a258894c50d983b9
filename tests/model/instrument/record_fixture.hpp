// Records of invented instruments.
#pragma once

#include <gtest/gtest.h>

#include "model/instrument/record.hpp"

namespace agonic::instrument {

inline std::chrono::sys_days day(int year, unsigned month, unsigned day_of_month) {
  return std::chrono::sys_days(std::chrono::year(year) / std::chrono::month(month) / std::chrono::day(day_of_month));
}

class RecordTest : public testing::Test {
 protected:
  RecordTest() {
    record.id = "BR-07";
    record.team = "survey";
    change(Description{});
  }
  void change(const Change& what) {
    const auto problem = add(record, {record.version + 1, "Ana", "2026-01-01T00:00:00Z", "invented"}, what);
    ASSERT_FALSE(problem) << problem->text();
  }
  void error(double deg, Span span, IndexKind kind = IndexKind::azimuth, double sigma_deg = 0.1) {
    IndexError what;
    what.kind = kind;
    what.curve.a = deg;
    what.covariance = IndexCovariance::constant(sigma_deg);
    what.span = span;
    change(what);
  }
  Record record;
};

}  // namespace agonic::instrument
