// Documents to rows of texts: each keeps what it came with.
#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>

#include "model/exchange/json_text.hpp"
#include "model/route/gpx.hpp"
#include "model/route/parts.hpp"
#include "model/units/number.hpp"

namespace agonic::route {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kDeepest = 32;
constexpr std::array<std::string_view, 7> kKnown{"id", "name", "place", "lat", "lon", "height_m", "date"};
constexpr desk::TableKind kStops{"stops", {}, kKnown};

Problem too_many() {
  return {Code::too_large,
          {},
          {},
          "there are more than " + std::to_string(desk::kMostRows) + " stops",
          "Give it in parts, or thin the track out"};
}

Problem malformed(std::string what) {
  return {Code::file_malformed,
          "geojson",
          {},
          std::move(what),
          "Give a FeatureCollection of Points with properties.date, or a LineString with properties.dates"};
}

std::optional<std::string> scalar(const Json& value) {
  if (value.is_string()) return value.get<std::string>();
  if (value.is_null()) return std::string();
  if (value.is_boolean()) return std::string(value.get<bool>() ? "yes" : "no");
  if (value.is_number()) return value.dump();
  return std::nullopt;
}

// Rows of GeoJSON as they are gathered: one object a row, from which the columns follow.
struct Gathered {
  std::vector<Json> objects;
  std::vector<std::optional<Problem>> problems;

  void add(Json object, std::optional<Problem> problem = {}) {
    objects.push_back(std::move(object));
    problems.push_back(std::move(problem));
  }
  void add_point(Json properties, const Json& position) {
    for (const char* name : {"place", "lat", "lon"})
      if (properties.contains(name))
        return add(
            std::move(properties),
            Problem{
                Code::contradiction, name, {}, "a Point and a property both give the place", "Take one of them out"});
    if (!position.is_array() || position.size() < 2 || position.size() > 4 ||
        !std::all_of(position.begin(), position.end(), [](const Json& v) { return v.is_number(); }))
      return add(std::move(properties), Problem{Code::row_malformed,
                                                "coordinates",
                                                {},
                                                "a position is [longitude, latitude] or [longitude, latitude, height]",
                                                "Give numbers, longitude first"});
    properties["lat"] = position[1];
    properties["lon"] = position[0];
    if (position.size() > 2 && !properties.contains("height_m")) properties["height_m"] = position[2];
    add(std::move(properties));
  }
};

std::optional<Problem> add_line(Gathered& out, const Json& properties, const Json& coordinates) {
  if (!coordinates.is_array()) return malformed("a LineString has no coordinates");
  Json own = properties;
  Json dates;
  if (const auto found = own.find("dates"); found != own.end()) {
    dates = *found;
    own.erase("dates");
    if (!dates.is_array() || dates.size() != coordinates.size())
      return malformed("properties.dates must have one date for each position of the line");
  }
  for (std::size_t i = 0; i < coordinates.size(); ++i) {
    Json each = own;
    if (dates.is_array()) each["date"] = dates[i];
    out.add_point(std::move(each), coordinates[i]);
    if (out.objects.size() > desk::kMostRows) return too_many();
  }
  return std::nullopt;
}

std::optional<Problem> add_feature(Gathered& out, const Json& feature) {
  if (!feature.is_object()) return malformed("a feature is no object");
  Json properties = Json::object();
  if (const auto found = feature.find("properties"); found != feature.end() && found->is_object()) properties = *found;
  const auto geometry = feature.find("geometry");
  const Json none;
  const Json& shape = geometry != feature.end() && geometry->is_object() ? *geometry : none;
  const std::string type = shape.is_object() && shape.contains("type") && shape["type"].is_string()
                               ? shape["type"].get<std::string>()
                               : std::string();
  const Json& coordinates = shape.is_object() && shape.contains("coordinates") ? shape["coordinates"] : none;
  if (type == "LineString") return add_line(out, properties, coordinates);
  if (type == "Point")
    out.add_point(std::move(properties), coordinates);
  else
    out.add(std::move(properties), Problem{Code::row_malformed, "geometry", type, "it is neither Point nor LineString",
                                           "Give the stops as Points or the track as a LineString"});
  return std::nullopt;
}

}  // namespace

std::string_view media_type(FormatIn format) noexcept {
  switch (format) {
    case FormatIn::csv:
      return "text/csv";
    case FormatIn::json:
      return "application/json";
    case FormatIn::geojson:
      return "application/geo+json";
    case FormatIn::gpx:
      break;
  }
  return "application/gpx+xml";
}

std::string_view media_type(FormatOut format) noexcept {
  switch (format) {
    case FormatOut::csv:
      return "text/csv";
    case FormatOut::json:
      return "application/json";
    case FormatOut::text:
      return "text/plain";
    case FormatOut::svg:
      break;
  }
  return "image/svg+xml";
}

std::optional<FormatIn> format_in_of_name(std::string_view name) noexcept {
  constexpr std::array<std::string_view, 4> words{"csv", "json", "geojson", "gpx"};
  for (std::size_t i = 0; i < words.size(); ++i)
    if (const auto format = static_cast<FormatIn>(i); name == words[i] || name == media_type(format)) return format;
  if (name == "application/xml" || name == "text/xml") return FormatIn::gpx;
  return std::nullopt;
}

std::optional<FormatOut> format_out_of_name(std::string_view name) noexcept {
  constexpr std::array<std::string_view, 4> words{"csv", "json", "text", "svg"};
  for (std::size_t i = 0; i < words.size(); ++i)
    if (const auto format = static_cast<FormatOut>(i); name == words[i] || name == media_type(format)) return format;
  return std::nullopt;
}

Result<desk::Table> table_of_gpx(std::string_view text, const Parameters& parameters) {
  auto points = read_gpx(text);
  if (!points) return points.problem();
  std::array<std::size_t, 3> counts{};
  for (const GpxPoint& point : *points) ++counts[static_cast<std::size_t>(point.part)];
  std::optional<GpxPart> wanted;
  std::string held;
  for (std::size_t i = 0; i < counts.size(); ++i)
    if (counts[i] > 0) {
      const auto part = static_cast<GpxPart>(i);
      held += (held.empty() ? "" : ", ") + std::string(word(part)) + " (" + std::to_string(counts[i]) + " points)";
      wanted = part;
    }
  if (const auto given = parameters.get("gpx_part")) {
    wanted.reset();
    for (std::size_t i = 0; i < counts.size(); ++i)
      if (*given == word(static_cast<GpxPart>(i))) wanted = static_cast<GpxPart>(i);
    if (!wanted)
      return Problem{Code::unknown_name, "gpx_part", std::string(*given), "no part of a GPX file is called so",
                     "Give waypoints, route or track"};
    if (counts[static_cast<std::size_t>(*wanted)] == 0)
      return Problem{Code::missing_value, "gpx_part", std::string(*given), "the file has none; it holds " + held,
                     "Name a part that is there"};
  } else if (std::count_if(counts.begin(), counts.end(), [](std::size_t n) { return n > 0; }) > 1) {
    return Problem{Code::missing_value,
                   "gpx_part",
                   {},
                   "the file holds " + held + ": which is the route?",
                   "Say gpx_part=waypoints, route or track"};
  }
  if (counts[static_cast<std::size_t>(*wanted)] > desk::kMostRows) return too_many();
  desk::Table table;
  table.names = {"name", "lat", "lon", "height_m", "date"};
  for (GpxPoint& point : points.value()) {
    if (point.part != *wanted) continue;
    desk::Row row{table.rows.size() + 1, point.line, {}, {}, {}};
    row.cells = {std::move(point.name), std::move(point.lat), std::move(point.lon), std::move(point.ele),
                 std::move(point.time)};
    table.rows.push_back(std::move(row));
  }
  return table;
}

Result<desk::Table> table_of_geojson(std::string_view text) {
  if (!exchange::sound_json(text, kDeepest)) return malformed("this is no well-formed JSON");
  const Json document = Json::parse(text, nullptr, false);
  if (!document.is_object() || !document.contains("type") || !document["type"].is_string())
    return malformed("this is no GeoJSON object");
  const auto type = document["type"].get<std::string>();
  Gathered rows;
  if (type == "FeatureCollection") {
    const auto features = document.find("features");
    if (features == document.end() || !features->is_array()) return malformed("there is no array 'features'");
    for (const Json& feature : *features) {
      if (auto problem = add_feature(rows, feature)) return *problem;
      if (rows.objects.size() > desk::kMostRows) return too_many();
    }
  } else if (type == "Feature") {
    if (auto problem = add_feature(rows, document)) return *problem;
  } else if (auto problem = add_feature(rows, Json{{"type", "Feature"}, {"geometry", document}})) {
    return *problem;
  }
  desk::Table table;
  for (const Json& object : rows.objects)
    for (const auto& [name, value] : object.items())
      if (!table.has(name) && table.names.size() <= 200) table.names.push_back(name);
  if (auto problem = desk::check_names(table.names, kStops)) return *problem;
  for (std::size_t i = 0; i < rows.objects.size(); ++i) {
    const Json& object = rows.objects[i];
    desk::Row row{i + 1, 0, std::vector<std::string>(table.names.size()), object.dump(), std::move(rows.problems[i])};
    for (std::size_t k = 0; k < table.names.size(); ++k) {
      const auto found = object.find(table.names[k]);
      if (found == object.end()) continue;
      if (table.names[k] == "date" && found->is_number())
        row.problem = Problem{Code::date_unreadable, "date", found->dump(),
                              "a JSON number is no date: 2008 the year and 2008.0 the instant would look alike",
                              "Give it as text, \"2028-07-04\""};
      row.cells[k] = scalar(*found).value_or(std::string());
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

Result<desk::Table> table_of(const Request& request, Parameters& parameters) {
  auto table = [&]() -> Result<desk::Table> {
    switch (request.in) {
      case FormatIn::gpx:
        return table_of_gpx(request.body, parameters);
      case FormatIn::geojson:
        return table_of_geojson(request.body);
      case FormatIn::csv:
      case FormatIn::json:
        break;
    }
    const desk::Request document{request.in == FormatIn::json ? desk::Format::json : desk::Format::csv,
                                 desk::Format::json, request.body, parameters, request.today};
    return desk::read_table(document, kStops, parameters);
  }();
  if (!table) return table;
  if (table->rows.empty()) return Problem{Code::missing_value, "stops", {}, "there are no stops", "Give one at least"};
  if (request.in != FormatIn::geojson && !table->has("place") && !(table->has("lat") && table->has("lon")))
    return Problem{Code::columns_missing,
                   "place",
                   {},
                   "there is no column place, nor lat and lon",
                   "Columns that are read: id, name, place or lat and lon, height_m, date"};
  return table;
}

}  // namespace agonic::route
