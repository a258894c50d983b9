// What of a record holds on the date of a reading.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/instrument/record.hpp"
#include "model/units/date.hpp"
#include "model/units/problem.hpp"

namespace agonic::instrument {

struct AzimuthInForce {
  IndexCurve curve;
  IndexCovariance covariance;
  int version = 0;
};

struct AngleInForce {
  double error_deg = 0;  ///< reading minus truth
  double sigma_deg = 0;
  int version = 0;
};

struct SettingInForce {
  std::optional<double> declination_deg;  ///< empty: stated as not known
  int version = 0;
};

/// Each part is empty where nothing is recorded for the date, or where it is recorded as not known.
struct InForce {
  std::optional<AzimuthInForce> azimuth;
  std::optional<AngleInForce> vertical, dip;
  bool vertical_unknown = false, dip_unknown = false;  ///< recorded as not known: no default may stand in
  std::optional<SettingInForce> setting;
  Description description;
  int description_version = 0;
  /// Why there is no azimuth index error, a sentence without its full stop; empty where there is one.
  std::string azimuth_lacking;
  /// What a reader should know: statements that overlap, a date that may lie before the statement.
  std::vector<std::string> notes;
  /// For a remark: "BR-07 as recorded: azimuth version 3, setting version 5".
  std::string named;
};

/// The statements that cover the UTC day of the date. Of several the one recorded last is taken, and a note says so;
/// only an open end that a later statement has taken over from is passed over in silence.
/// Code::instrument_unknown where no index error of any kind is known for that day.
Result<InForce> in_force(const Record& record, const Date& date);

}  // namespace agonic::instrument
