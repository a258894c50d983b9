// What to set on the circle for a place and date, and until when it holds: the answer behind /v1/setting.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/instrument/setting.hpp"
#include "model/lookup/lookup.hpp"

namespace agonic::lookup {

struct SettingQuery {
  Query where;
  instrument::CircleKind circle;
  std::optional<Date> until;
  bool force_unusable = false;
};

/// The circle among the parameters: graduation, circle, east_turn.
Result<instrument::CircleKind> parse_circle(const Parameters& parameters);

/// The parameters of a lookup and: graduation, circle (azimuth, quadrant, fixed), until, east_turn, force_unusable.
Result<SettingQuery> parse_setting_query(const Parameters& parameters, std::chrono::sys_days today);

struct SettingAnswer {
  Answer declination;
  instrument::Setting setting;
  instrument::CircleKind circle;
  std::optional<Date> until;
};

/// Refuses where the needle is unusable, unless forced.
Result<SettingAnswer> setting(const field::Catalogue& catalogue, geodesy::Grids& grids, const SettingQuery& query);

std::string to_json(const SettingAnswer& answer);
/// The whole answer for a person in the field, several lines.
std::string to_text(const SettingAnswer& answer);

}  // namespace agonic::lookup
