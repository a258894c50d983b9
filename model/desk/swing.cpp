// POST /v1/swing: an observatory's file and the moments of readings; without a file what is usual at the latitude.
#include "model/survey/swing.hpp"

#include <array>
#include <cmath>

#include "model/desk/parts.hpp"
#include "model/field/declination.hpp"
#include "model/survey/thresholds.hpp"
#include "model/units/angle.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::desk {
namespace {

constexpr std::array<std::string_view, 1> kNeeded{"time"};
constexpr std::array<std::string_view, 6> kKnown{"time", "date", "place", "lat", "lon", "height_m"};
constexpr std::array<std::string_view, 0> kNone{};

struct SwingSheet {
  Table table;
  std::vector<std::optional<Problem>> refused;
  std::vector<std::optional<survey::Departure>> departures;    // with a file
  std::vector<std::optional<survey::ExpectedSwing>> expected;  // without
  std::vector<std::optional<field::FieldAnswer>> fields;       // of the model, where and when the reading was taken
  std::optional<survey::Observatory> observatory;
  std::vector<Note> notes;
};

// The times of a query as a table, so that both ways in are one.
Table table_of_times(std::string_view times) {
  Table table;
  table.names = {"time"};
  do {
    const std::size_t end = std::min(times.find(','), times.size());
    table.rows.push_back({table.rows.size() + 1, 0, {std::string(trim(times.substr(0, end)))}, {}, {}});
    times.remove_prefix(std::min(end + 1, times.size()));
  } while (!times.empty());
  return table;
}

Result<std::chrono::sys_seconds> time_of(std::string_view text, const DateContext& context) {
  auto date = parse_date(text, context);
  if (!date) return date.problem();
  if (text.find(':') == std::string_view::npos && text.find_first_of("Tt") == std::string_view::npos)
    return Problem{Code::missing_value, "time", std::string(text), "the hour is missing: the swing goes with it",
                   "Give date and time, in UTC or with an offset, as 2026-06-15T09:40Z"};
  return std::chrono::sys_seconds(date->day) + std::chrono::seconds(std::lround(date->seconds_of_day));
}

// The row's own place, else that of the parameters; nothing where there is none.
Result<std::optional<geodesy::Place>> place_of(const Table& table, const Row& row, const Parameters& parameters,
                                               const geodesy::Letters& letters) {
  const auto own = [&](std::string_view name) { return table.cell(row, name); };
  const bool in_row = own("place") || own("lat") || own("lon");
  const auto get = [&](std::string_view name) { return in_row ? own(name) : parameters.get(name); };
  const auto place = get("place"), lat = get("lat"), lon = get("lon");
  if (place && (lat || lon))
    return Problem{Code::contradiction, "place", std::string(*place), "place and lat, lon are both given",
                   "Give one of them"};
  if (!place && !lat && !lon) return std::optional<geodesy::Place>();
  if (!place && (!lat || !lon))
    return Problem{
        Code::missing_value, lat ? "lon" : "lat", {}, "one half of the place is missing", "Give lat and lon together"};
  const char mark = in_row ? table.decimal_mark : '.';
  auto parsed = place ? geodesy::parse_place(*place, letters, mark) : geodesy::parse_lat_lon(*lat, *lon, letters, mark);
  if (!parsed) return parsed.problem();
  return std::optional(*parsed);
}

// What the model says at the observatory: the horizontal field where the file has none, and a check on the file's D.
Result<field::FieldAnswer> field_at(const field::Catalogue& catalogue, const survey::Observatory& o,
                                    const Parameters& parameters) {
  const auto day = std::chrono::floor<std::chrono::days>(o.samples.front().time);
  return field::field_answer(catalogue, lower(parameters.get("model").value_or("auto")),
                             {o.lat_deg, o.lon_deg, 0, date_of_day(day).decimal_year});
}

void note_file(const field::FieldAnswer& model, double level_deg, std::vector<Note>& notes) {
  const double d = model.elements.declination_deg;
  const double limit = std::max(survey::threshold::kFileAgainstModelDeg, model.half_width_95_deg);
  if (std::abs(wrap_180(level_deg - d)) <= limit) return;
  const bool degrees = std::abs(wrap_180(level_deg * 60 - d)) <= limit;
  const bool west = std::abs(wrap_180(-level_deg - d)) <= limit;
  notes.push_back({"file-against-model",
                   "The file's quiet level is " + declination_text(level_deg) + ", the model says " +
                       declination_text(d) + " there." +
                       (degrees ? " The file's D looks like degrees; the format has minutes of arc. All departures are "
                                  "then 60 times too small."
                        : west  ? " The file's D looks west-positive: all signs are then wrong."
                                : " Is it the right file, and are its signs and units those of the format?")});
}

void work_rows(SwingSheet& sheet, const field::Catalogue& catalogue, const Parameters& parameters,
               const DateContext& dates, const geodesy::Letters& letters) {
  std::optional<survey::Swing> swing;
  std::optional<field::FieldAnswer> model;
  if (sheet.observatory) {
    auto field = field_at(catalogue, *sheet.observatory, parameters);
    if (field) model = *std::move(field);
    // Without a model of that year a usual horizontal field stands in, for the flags alone.
    constexpr double kUsualNt = 20000;
    swing.emplace(*sheet.observatory, model ? std::max(model->elements.horizontal_nt, 1.0) : kUsualNt);
  }
  bool compared = false, placeless = false;
  for (const Row& row : sheet.table.rows) {
    sheet.refused.emplace_back();
    sheet.departures.emplace_back();
    sheet.expected.emplace_back();
    sheet.fields.emplace_back();
    const auto refuse = [&](Problem problem) { sheet.refused.back() = std::move(problem); };
    if (row.problem) {
      refuse(*row.problem);
      continue;
    }
    auto place = place_of(sheet.table, row, parameters, letters);
    if (!place) {
      refuse(place.problem());
      continue;
    }
    if (!swing) {
      if (place->has_value())
        sheet.expected.back() = survey::expected_swing((*place)->lat_deg);
      else
        refuse({Code::missing_value,
                "place",
                {},
                "without a file the usual swing goes by the latitude",
                "Give place, or lat and lon"});
      continue;
    }
    const auto written = sheet.table.cell(row, "time");
    auto time = time_of(written ? *written : sheet.table.cell(row, "date").value_or(""), dates);
    if (!time) {
      if (time.problem().code == Code::date_missing) time.problem().remedy = "Give it, as 2026-06-15T09:40Z";
      refuse(time.problem());
      continue;
    }
    survey::Moment moment{*time, std::nullopt, std::nullopt};
    if (place->has_value()) moment.lat_deg = (*place)->lat_deg, moment.lon_deg = (*place)->lon_deg;
    placeless = placeless || !place->has_value();
    auto departure = swing->at(moment);
    if (!departure) {
      refuse(departure.problem());
      continue;
    }
    if (model && !compared) note_file(*model, departure->quiet_level_deg, sheet.notes), compared = true;
    sheet.departures.back() = *std::move(departure);
    if (!place->has_value()) continue;
    // A year that no model serves leaves the declination of the moment blank; the departure stands.
    auto there = field::field_answer(catalogue, lower(parameters.get("model").value_or("auto")),
                                     {(*place)->lat_deg, (*place)->lon_deg, 0,
                                      date_of_day(std::chrono::floor<std::chrono::days>(*time)).decimal_year});
    if (there) sheet.fields.back() = *std::move(there);
  }
  if (placeless)
    sheet.notes.push_back({"distance-unknown",
                           "Readings without a place are taken as at the observatory: the "
                           "uncertainty does not grow with the distance."});
}

void note_rest(SwingSheet& sheet) {
  std::string stormy;
  for (std::size_t i = 0; i < sheet.departures.size(); ++i)
    if (sheet.departures[i] && sheet.departures[i]->activity >= survey::Activity::disturbed)
      stormy += (stormy.empty() ? "" : ", ") + std::to_string(sheet.table.rows[i].row);
  if (!stormy.empty())
    sheet.notes.push_back({"magnetic-storm", "Disturbed or storm at row " + stormy +
                                                 ": the departure may differ much from place to place. Read again on "
                                                 "a quiet day if it matters."});
  if (!sheet.observatory) {
    sheet.notes.push_back({"swing-expected",
                           "Common practice for a usual day, by latitude: most of it between 7 and "
                           "15 h local time, east in the forenoon and west after noon in northern "
                           "latitudes, the other way in southern ones; half as much in winter. "
                           "Storms are not in it. An observatory's file tells what it was."});
    return;
  }
  if (!sheet.observatory->bad_lines.empty())
    sheet.notes.push_back({"lines-left-out", std::to_string(sheet.observatory->bad_lines.size()) +
                                                 " lines of the file could not be read and were left out, the first "
                                                 "of them line " +
                                                 std::to_string(sheet.observatory->bad_lines.front()) + "."});
  sheet.notes.push_back({"quiet-level", std::string(survey::Swing::rule())});
}

std::vector<Added> added_of(const SwingSheet& s) {
  std::vector<Added> out;
  for (std::size_t i = 0; i < s.table.rows.size(); ++i) {
    const auto& d = s.departures[i];
    std::vector<std::string> checks;
    if (s.refused[i]) checks.emplace_back(word(s.refused[i]->code));
    if (d && d->activity >= survey::Activity::disturbed) checks.emplace_back("magnetic-storm");
    Added added;
    const auto& field = s.fields[i];
    // Under the names that a batch reads, so that its output goes on to a correction as it is.
    const auto site = [&](auto of) { return d && field ? Value(of()) : Value(); };
    if (s.observatory)
      added = {{"site_declination", site([&] { return wrap_180(field->elements.declination_deg + d->departure_deg); })},
               {"site_declination_sigma", site([&] { return std::hypot(field->sigma_deg, d->sigma_deg); })},
               {"departure", d ? Value(d->departure_deg) : Value()},
               {"departure_sigma", d ? Value(d->sigma_deg) : Value()},
               {"declination_observatory", d ? Value(d->observed_deg) : Value()},
               {"quiet_level", d ? Value(d->quiet_level_deg) : Value()},
               {"distance_km", d ? value_of(d->distance_km) : Value()},
               {"range_nt", d ? Value(d->range_nt) : Value()},
               {"rate_nt_per_minute", d ? Value(d->rate_nt_per_minute) : Value()},
               {"activity", d ? Value(std::string(word(d->activity))) : Value()}};
    else
      added = {{"usual_range", s.expected[i] ? Value(s.expected[i]->range_deg) : Value()},
               {"usual_sigma", s.expected[i] ? Value(s.expected[i]->sigma_deg) : Value()}};
    added.emplace_back("swing_status", std::string(s.refused[i] ? "refused" : s.observatory ? "reduced" : "expected"));
    added.emplace_back("swing_checks", std::move(checks));
    added.emplace_back("swing_remark", s.refused[i] ? s.refused[i]->text() : d ? d->why : std::string());
    out.push_back(std::move(added));
  }
  return out;
}

std::string utc(std::chrono::sys_seconds time) {
  const auto day = std::chrono::floor<std::chrono::days>(time);
  const auto minutes = std::chrono::duration_cast<std::chrono::minutes>(time - day).count();
  const auto two = [](auto n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  return iso_day(day) + "T" + two(minutes / 60) + ":" + two(minutes % 60) + "Z";
}

std::string orders_text(const survey::Observatory& o) {
  std::string out;
  for (const std::string& order : o.orders)
    if (out.find(order) == std::string::npos) out += (out.empty() ? "" : ", ") + order;
  return out;
}

std::string text_of(const SwingSheet& s) {
  std::string out;
  if (s.observatory) {
    const auto& o = *s.observatory;
    out = "Observatory " + printable(o.code) + " " + printable(o.name) + ", " + format_fixed(o.lat_deg, 3) + " " +
          format_fixed(o.lon_deg, 3) + "; " + utc(o.samples.front().time) + " to " + utc(o.samples.back().time) +
          "; elements " + orders_text(o) + "; " + std::to_string(o.missing) + " of " +
          std::to_string(o.samples.size()) + " values missing.\n";
    out += "Declination at the moment of a reading = declination of the model + departure.\n\n";
  }
  TextTable table(2, 5);
  if (s.observatory)
    table.add({"time", "departure", "+/-", "km away", "activity", "why"});
  else
    table.add({"row", "a usual day's swing", "1-sigma of one reading"});
  for (std::size_t i = 0; i < s.table.rows.size(); ++i) {
    const auto& d = s.departures[i];
    const std::string time =
        printable(s.table.cell(s.table.rows[i], "time").value_or(std::to_string(s.table.rows[i].row)));
    if (s.refused[i])
      table.add({time, "refused"});
    else if (d)
      table.add({time, declination_text(d->departure_deg), format_fixed(d->sigma_deg, 2),
                 d->distance_km ? format_fixed(*d->distance_km, 0) : "-", std::string(word(d->activity)), d->why});
    else
      table.add({time, format_fixed(s.expected[i]->range_deg, 2) + " degree from east to west",
                 format_fixed(s.expected[i]->sigma_deg, 2)});
  }
  out += table.text();
  return out + "\n" + refused_text(s.table, s.refused) + notes_text(s.notes);
}

std::string json_of(const SwingSheet& s) {
  std::string out = "{\"observatory\":";
  if (s.observatory) {
    const auto& o = *s.observatory;
    out += "{\"code\":" + json_text(o.code) + ",\"name\":" + json_text(o.name) +
           ",\"lat_deg\":" + json_number(o.lat_deg) + ",\"lon_deg\":" + json_number(o.lon_deg) +
           ",\"from\":" + json_text(utc(o.samples.front().time)) + ",\"to\":" + json_text(utc(o.samples.back().time)) +
           ",\"elements\":" + json_text(orders_text(o)) + ",\"samples\":" + std::to_string(o.samples.size()) +
           ",\"missing\":" + std::to_string(o.missing) + ",\"lines_left_out\":" + std::to_string(o.bad_lines.size()) +
           "}";
  } else {
    out += "null";
  }
  return out + ",\"readings\":" + rows_json(s.table, added_of(s)) + ",\"notes\":" + notes_json(s.notes) + "}";
}

}  // namespace

Result<Answer> swing(const field::Catalogue& catalogue, geodesy::Grids&, const Request& request) {
  SwingSheet sheet;
  Parameters parameters = request.parameters;
  std::string_view file = request.body;
  if (request.in != Format::text) {
    auto table = read_table(request, {"readings", kNone, kKnown}, parameters);
    if (!table) return table.problem();
    sheet.table = *std::move(table);
    file = {};
    if (const auto given = parameters.values.find("file"); given != parameters.values.end()) file = given->second;
    if (!file.empty() && !sheet.table.has("time") && !sheet.table.has("date"))
      return Problem{Code::columns_missing,
                     std::string(kNeeded[0]),
                     {},
                     "the readings have no time",
                     "Give it, as 2026-06-15T09:40Z"};
  } else {
    const auto times = parameters.get("time");
    if (!times && !file.empty())
      return Problem{Code::missing_value,
                     "time",
                     {},
                     "the time of the reading is missing",
                     "Give it, as 2026-06-15T09:40Z; several with commas between"};
    sheet.table = table_of_times(times.value_or(""));
    parameters.values.erase("time");
  }
  if (auto problem = parameters.unknown(
          {"time", "file", "place", "lat", "lon", "model", "letters", "date_order", "decimal", "delimiter"}))
    return *problem;
  if (!file.empty()) {
    auto observatory = survey::read_observatory(file);
    if (!observatory) return observatory.problem();
    sheet.observatory = *std::move(observatory);
  }
  geodesy::Letters letters;
  if (const auto text = parameters.get("letters")) {
    auto parsed = geodesy::parse_letters(*text);
    if (!parsed) return parsed.problem();
    letters = *parsed;
  }
  DateContext dates{request.today};
  dates.field = "time";
  if (const auto text = parameters.get("date_order")) {
    auto order = parse_date_order(*text);
    if (!order) return order.problem();
    dates.order = *order;
  }
  work_rows(sheet, catalogue, parameters, dates, letters);
  note_rest(sheet);
  const std::vector<Added> added = added_of(sheet);
  if (auto problem = name_taken(sheet.table, added.front())) return *problem;
  Answer out;
  out.rows = sheet.table.rows.size();
  for (const auto& refused : sheet.refused) out.refused += refused ? 1U : 0U;
  out.body = request.out == Format::csv    ? rows_csv(sheet.table, added)
             : request.out == Format::json ? json_of(sheet)
                                           : text_of(sheet);
  out.summary_json = summary_json(out, sheet.notes);
  out.summary_line = summary_line(sheet.table, sheet.refused, "reading");
  return out;
}

}  // namespace agonic::desk
