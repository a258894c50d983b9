#include "model/instrument/json_members.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "model/units/date.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::instrument {
namespace {

constexpr int kDeepest = 8;

std::string shown(const Json& value) { return value.is_string() ? value.get<std::string>() : dump_text(value); }

Span read_span(Members& members, std::chrono::sys_days today) {
  Span span;
  if (const auto from = members.day("from", today))
    span.from = *from;
  else
    members.fail({Code::missing_value, "from", "", "there is no day from which this holds", "Give it as 2026-03-01"});
  span.until = members.day("until", today);
  return span;
}

bool says_unknown(const Json* value) {
  return value != nullptr && (value->is_null() || (value->is_string() && lower(shown(*value)) == "unknown"));
}

// A number, or five in an array.
void read_curve(Members& members, const Json& value, IndexError& error) {
  if (value.is_number()) {
    error.curve.a = value.get<double>();
    return;
  }
  const bool five = value.is_array() && value.size() == 5 &&
                    std::all_of(value.begin(), value.end(), [](const Json& one) { return one.is_number(); });
  if (!five || error.kind != IndexKind::azimuth) {
    members.fail({Code::not_a_number, "error_deg", shown(value).substr(0, 80),
                  error.kind == IndexKind::azimuth ? "this is neither a number nor the five numbers A to E"
                                                   : "this is no number",
                  "Reading minus truth in degrees; null or \"unknown\" where it is not known"});
    return;
  }
  error.curve = {value[0].get<double>(), value[1].get<double>(), value[2].get<double>(), value[3].get<double>(),
                 value[4].get<double>()};
}

void read_spread(Members& members, IndexError& error) {
  const Json* full = members.get("covariance_deg2");
  const std::optional<double> sigma = members.number("sigma_deg");
  if (full != nullptr && full->is_null()) full = nullptr;
  if (full != nullptr && error.kind == IndexKind::azimuth) {
    if (!full->is_array() || full->size() != error.covariance.upper.size() ||
        !std::all_of(full->begin(), full->end(), [](const Json& one) { return one.is_number(); })) {
      members.fail({Code::not_a_number, "covariance_deg2", "", "a covariance is 15 numbers",
                    "Give the upper triangle by rows: AA AB AC AD AE BB BC BD BE CC CD CE DD DE EE"});
      return;
    }
    for (std::size_t i = 0; i < full->size(); ++i) error.covariance.upper[i] = (*full)[i].get<double>();
    return;
  }
  if (!sigma) {
    members.fail({Code::missing_value, "sigma_deg", "", "how well the index error is known is missing",
                  "Give its 1-sigma in degrees: half the spread of repeated sightings is a start"});
    return;
  }
  if (!(*sigma >= 0))
    members.fail({Code::out_of_range, "sigma_deg", format_trimmed(*sigma, 6), "a 1-sigma is not negative", ""});
  error.covariance = IndexCovariance::constant(*sigma);
}

IndexError read_index_error(Members& members, std::chrono::sys_days today) {
  IndexError error;
  const std::string kind = members.text("kind", "azimuth");
  if (kind == "vertical")
    error.kind = IndexKind::vertical;
  else if (kind == "dip")
    error.kind = IndexKind::dip;
  else if (kind != "azimuth")
    members.fail({Code::unknown_name, "kind", kind, "there is no such index error", "Give azimuth, vertical or dip"});
  const Json* value = members.get("error_deg");
  error.known = !says_unknown(value);
  if (value == nullptr) {
    members.fail({Code::missing_value, "error_deg", "", "the index error is missing",
                  "Reading minus truth in degrees; null or \"unknown\" where it is not known"});
  } else if (error.known) {
    read_curve(members, *value, error);
    read_spread(members, error);
  } else {
    members.get("sigma_deg");
    members.get("covariance_deg2");
  }
  error.span = read_span(members, today);
  error.how = members.text("how");
  error.sightings = members.count("sightings");
  return error;
}

Description read_description(Members& members) {
  Description out;
  const std::string circle = members.text("circle", "azimuth");
  if (circle == "quadrant")
    out.circle.figures = Figures::quadrant;
  else if (circle != "azimuth")
    members.fail({Code::unknown_name, "circle", circle, "there is no such kind of circle",
                  "Give azimuth (0 to 360) or quadrant; one that cannot be turned has turnable false"});
  out.circle.turnable = members.yes("turnable", true);
  if (const auto graduation = members.number("graduation_deg")) out.circle.graduation_deg = *graduation;
  const std::string turn = members.text("east_turn", "clockwise");
  if (turn == "counterclockwise")
    out.circle.east_turn = Sense::counterclockwise;
  else if (turn != "clockwise")
    members.fail({Code::unknown_name, "east_turn", turn, "a circle turns clockwise or counterclockwise",
                  "Give the way it is turned for an easterly declination"});
  out.clinometer_graduation_deg = members.number("clinometer_graduation_deg");
  out.hinge_graduation_deg = members.number("hinge_graduation_deg");
  out.note = members.text("note");
  return out;
}

CircleSet read_setting(Members& members, std::chrono::sys_days today) {
  CircleSet set;
  const Json* value = members.get("set_declination");
  if (value == nullptr) {
    members.fail({Code::missing_value, "set_declination", "", "what was set on the circle is missing",
                  "Give it as 13.7W or -13.7; 0 if nothing was set, unknown if it is not known"});
  } else if (value->is_number()) {
    set.declination_deg = value->get<double>();
  } else if (!says_unknown(value)) {
    const auto read = parse_declination(shown(*value), {"set_declination"});
    if (read)
      set.declination_deg = *read;
    else
      members.fail(read.problem());
  }
  set.span = read_span(members, today);
  return set;
}

void put_span(const Span& span, Json& out) {
  out["from"] = iso_day(span.from);
  out["until"] = span.until ? Json(iso_day(*span.until)) : Json();
}

}  // namespace

Result<Json> parse_strictly(std::string_view text) {
  std::vector<std::set<std::string>> names;
  std::string twice;
  bool deep = false;
  const auto watch = [&](int depth, Json::parse_event_t event, Json& value) {
    if (event == Json::parse_event_t::object_start) names.emplace_back();
    if (event == Json::parse_event_t::object_end) names.pop_back();
    if (event == Json::parse_event_t::key && !names.back().insert(value.get<std::string>()).second)
      twice = value.get<std::string>();
    deep = deep || depth > kDeepest;
    return !deep;
  };
  Json json = Json::parse(text, watch, false);
  if (deep) return Problem{Code::file_malformed, "", "", "the JSON is nested too deeply", ""};
  if (json.is_discarded())
    return Problem{Code::file_malformed, "", "", "this is no well-formed JSON in UTF-8", "Mend it, or send it as text"};
  if (!twice.empty())
    return Problem{Code::contradiction, printable(twice), "", "this name stands twice in one object", "Give it once"};
  return json;
}

const Json* Members::get(const char* name) {
  asked_.insert(name);
  const auto found = object_.find(name);
  return found == object_.end() ? nullptr : &*found;
}

void Members::wrong_type(const char* name, const char* wanted) {
  fail({Code::not_a_number, name, shown(object_.at(name)).substr(0, 80), std::string("this is no ") + wanted, ""});
}

std::string Members::text(const char* name, std::string fallback) {
  const Json* value = get(name);
  if (value == nullptr || value->is_null()) return fallback;
  if (value->is_string()) return value->get<std::string>();
  wrong_type(name, "text");
  return fallback;
}

bool Members::yes(const char* name, bool fallback) {
  const Json* value = get(name);
  if (value == nullptr || value->is_null()) return fallback;
  if (value->is_boolean()) return value->get<bool>();
  wrong_type(name, "true or false");
  return fallback;
}

std::optional<double> Members::number(const char* name) {
  const Json* value = get(name);
  if (value == nullptr || value->is_null()) return std::nullopt;
  if (value->is_number() && std::isfinite(value->get<double>())) return value->get<double>();
  wrong_type(name, "number");
  return std::nullopt;
}

std::optional<int> Members::count(const char* name) {
  const auto value = number(name);
  if (!value) return std::nullopt;
  if (*value == std::floor(*value) && *value >= 0 && *value <= 1e6) return static_cast<int>(*value);
  wrong_type(name, "whole number up to a million");
  return std::nullopt;
}

std::optional<std::chrono::sys_days> Members::day(const char* name, std::chrono::sys_days today) {
  const std::string given = text(name);
  if (given.empty()) return std::nullopt;
  const auto date = parse_date(given, {today, DateOrder::undeclared, name, true});
  if (!date) {
    fail(date.problem());
    return std::nullopt;
  }
  if (given != "today" && date->iso != given) {
    fail({Code::date_ambiguous, name, given, "the day on which it begins or ends must be given whole",
          "Write it as 2026-03-01"});
    return std::nullopt;
  }
  return date->day;
}

std::optional<Problem> Members::problem() const {
  if (problem_) return problem_;
  for (const auto& item : object_.items()) {
    if (asked_.contains(item.key())) continue;
    std::string all;
    for (const std::string& name : asked_) all += (all.empty() ? "" : ", ") + name;
    return Problem{Code::unknown_name, printable(item.key(), 40), "", "there is no member of this name",
                   "Known are: " + all};
  }
  return std::nullopt;
}

Change read_change(ChangeKind kind, Members& members, std::chrono::sys_days today) {
  switch (kind) {
    case ChangeKind::description:
      return read_description(members);
    case ChangeKind::index_error:
      return read_index_error(members, today);
    case ChangeKind::setting:
      break;
  }
  return read_setting(members, today);
}

void put_change(const Change& change, Json& out) {
  if (const auto* d = std::get_if<Description>(&change)) {
    const auto optional = [](const std::optional<double>& value) { return value ? Json(*value) : Json(); };
    out["circle"] = d->circle.figures == Figures::quadrant ? "quadrant" : "azimuth";
    out["turnable"] = d->circle.turnable;
    out["graduation_deg"] = d->circle.graduation_deg;
    out["east_turn"] = word(d->circle.east_turn);
    out["clinometer_graduation_deg"] = optional(d->clinometer_graduation_deg);
    out["hinge_graduation_deg"] = optional(d->hinge_graduation_deg);
    out["note"] = d->note;
  } else if (const auto* e = std::get_if<IndexError>(&change)) {
    const IndexCurve& c = e->curve;
    const auto& upper = e->covariance.upper;
    const bool constant = c.b == 0 && c.c == 0 && c.d == 0 && c.e == 0;
    const bool plain = std::all_of(upper.begin() + 1, upper.end(), [](double value) { return value == 0; });
    out["kind"] = word(e->kind);
    out["error_deg"] = !e->known ? Json() : constant && plain ? Json(c.a) : Json{c.a, c.b, c.c, c.d, c.e};
    if (e->known) {
      const double sigma = e->constant_sigma_deg();
      if (plain && sigma * sigma == upper[0])
        out["sigma_deg"] = sigma;
      else
        out["covariance_deg2"] = upper;
    }
    put_span(e->span, out);
    out["how"] = e->how;
    out["sightings"] = e->sightings ? Json(*e->sightings) : Json();
  } else {
    const auto& set = std::get<CircleSet>(change);
    out["set_declination"] = set.declination_deg ? Json(*set.declination_deg) : Json();
    put_span(set.span, out);
  }
}

void put_recorded(const Recorded& recorded, Json& out) {
  out["who"] = recorded.who;
  out["when"] = recorded.when;
  out["why"] = recorded.why;
}

std::string dump_text(const Json& json) { return json.dump(-1, ' ', false, Json::error_handler_t::replace); }

}  // namespace agonic::instrument
