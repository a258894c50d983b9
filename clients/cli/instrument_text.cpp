#include "clients/cli/instrument_text.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::cli {
namespace {

using nlohmann::json;

// What others wrote cannot move the cursor or change a colour here.
std::string text(const json& object, const char* name) {
  const auto found = object.find(name);
  return found != object.end() && found->is_string() ? printable(found->get<std::string>(), 200) : std::string();
}
double number(const json& object, const char* name) {
  const auto found = object.find(name);
  return found != object.end() && found->is_number() ? found->get<double>() : 0;
}
bool has(const json& object, const char* name) { return object.contains(name) && !object.at(name).is_null(); }

// Letters, not bytes, in UTF-8.
std::string padded(std::string out, std::size_t width) {
  const auto letters = static_cast<std::size_t>(
      std::count_if(out.begin(), out.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
  if (letters < width) out.append(width - letters, ' ');
  return out;
}

std::size_t widest(const json& rows, const char* name, std::size_t at_least) {
  for (const auto& row : rows) at_least = std::max(at_least, text(row, name).size());
  return at_least;
}

std::string signed_text(double value) { return (value > 0 ? "+" : "") + format_fixed(value, 2); }

std::string error_text(const json& statement) {
  if (!has(statement, "error_deg")) return "not known";
  const json& error = statement.at("error_deg");
  std::string out;
  if (error.is_array())
    for (const auto& part : error) out += (out.empty() ? "A to E " : " ") + signed_text(part.get<double>());
  else
    out = signed_text(error.get<double>());
  if (has(statement, "sigma_deg")) out += " +/- " + format_fixed(number(statement, "sigma_deg"), 2);
  return out;
}

std::string setting_text(const json& statement) {
  return has(statement, "set_declination") ? declination_text(number(statement, "set_declination")) : "not known";
}

std::string span_text(const json& statement) {
  return "from " + text(statement, "from") + (has(statement, "until") ? " until " + text(statement, "until") : "");
}

std::string recorded_text(const json& version) {
  return text(version, "who") + ", " + text(version, "when").substr(0, 10) + ": " + text(version, "why");
}

std::string version_lines(const json& version, const std::string& what) {
  return "  version " + padded(std::to_string(static_cast<int>(number(version, "version"))), 4) + what + "\n" +
         std::string(14, ' ') + recorded_text(version) + "\n";
}

std::string description_text(const json& description) {
  std::string out = "graduation " + format_trimmed(number(description, "graduation_deg")) + ", " +
                    (text(description, "circle") == "quadrant" ? "quadrant figures" : "figures 0 to 360");
  out += description.value("turnable", true)
             ? ", turned " + text(description, "east_turn") + " for an easterly declination"
             : ", cannot be turned";
  if (has(description, "clinometer_graduation_deg"))
    out += "; clinometer " + format_trimmed(number(description, "clinometer_graduation_deg"));
  if (has(description, "hinge_graduation_deg"))
    out += "; hinge " + format_trimmed(number(description, "hinge_graduation_deg"));
  return out;
}

std::string held_text(const json& held) {
  std::string out = "On " + text(held, "date") + "\n";
  const auto line = [&](const char* what, const std::string& value) { out += "  " + padded(what, 12) + value + "\n"; };
  if (has(held, "azimuth")) {
    const json& curve = held.at("azimuth").at("error_deg");
    json shown = {{"error_deg", curve}};
    if (std::all_of(curve.begin() + 1, curve.end(), [](const json& part) { return part == 0.0; }))
      shown = {{"error_deg", curve.at(0)},
               {"sigma_deg", std::sqrt(held.at("azimuth").at("covariance_deg2").at(0).get<double>())}};
    line("azimuth", error_text(shown));
  }
  for (const char* kind : {"vertical", "dip"})
    if (has(held, kind)) line(kind, error_text(held.at(kind)));
  if (has(held, "setting")) line("setting", setting_text(held.at("setting")));
  if (has(held, "lacking")) line("azimuth", text(held, "lacking"));
  if (held.contains("notes"))
    for (const auto& note : held.at("notes")) line("note", printable(note.get<std::string>(), 300));
  return out;
}

}  // namespace

std::string list_text(const json& list) {
  const json& rows = list.at("instruments");
  if (rows.empty()) return "No instruments are recorded for team " + text(list, "team") + ".\n";
  const std::size_t width = widest(rows, "id", 2) + 2;
  std::string out = padded("id", width) + "version  index errors  settings  note\n";
  for (const auto& row : rows)
    out += padded(text(row, "id"), width) + padded(std::to_string(static_cast<int>(number(row, "version"))), 9) +
           padded(std::to_string(static_cast<int>(number(row, "index_errors"))), 14) +
           padded(std::to_string(static_cast<int>(number(row, "settings"))), 10) + text(row, "note") + "\n";
  return out;
}

std::string record_text(const json& record) {
  const json& description = record.at("description");
  std::string out = text(record, "id") + ", team " + text(record, "team") + ", version " +
                    std::to_string(static_cast<int>(number(record, "version"))) + "\n";
  if (!text(description, "note").empty()) out += "  " + text(description, "note") + "\n";
  if (!record.contains("descriptions")) out += "Circle\n" + version_lines(description, description_text(description));
  if (record.contains("descriptions")) {
    out += "Circle, all versions\n";
    for (const auto& version : record.at("descriptions"))
      out += version_lines(
          version, description_text(version) + (text(version, "note").empty() ? "" : "; " + text(version, "note")));
  }
  out += "Index errors (reading minus truth)\n";
  for (const auto& version : record.at("index_errors")) {
    std::string what = padded(text(version, "kind"), 9) + error_text(version) + "  " + span_text(version);
    if (!text(version, "how").empty()) what += ", " + text(version, "how");
    if (has(version, "sightings"))
      what += ", " + std::to_string(static_cast<int>(number(version, "sightings"))) + " sightings";
    out += version_lines(version, what);
  }
  if (record.at("index_errors").empty()) out += "  none: rows taken with it are refused until one is recorded\n";
  out += "Set on the circle\n";
  for (const auto& version : record.at("settings"))
    out += version_lines(version, setting_text(version) + "  " + span_text(version));
  if (record.at("settings").empty()) out += "  nothing recorded: say it in the notebook's rows\n";
  if (record.contains("in_force")) out += held_text(record.at("in_force"));
  return out;
}

std::string report_text(const json& report) {
  std::string out;
  const std::size_t width = widest(report.at("instruments"), "id", 8) + 2;
  for (const auto& row : report.at("instruments")) {
    std::string id = text(row, "id");
    if (row.at("findings").empty()) out += padded(id, width) + "in order\n";
    for (const auto& finding : row.at("findings")) {
      out += padded(id, width) + text(finding, "code") + ": " + text(finding, "text") + "\n";
      id.clear();
    }
  }
  return out + std::to_string(static_cast<int>(number(report, "need_service"))) + " of " +
         std::to_string(static_cast<int>(number(report, "of"))) + " need service on " + text(report, "date") + "\n";
}

std::string keys_text(const json& keys) {
  const json& rows = keys.at("keys");
  if (rows.empty()) return "No keys have been made.\n";
  const std::size_t team = widest(rows, "team", 4) + 2, name = widest(rows, "name", 4) + 2;
  std::string out = padded("id", 12) + padded("team", team) + padded("name", name) + "scope  made        state\n";
  for (const auto& row : rows)
    out += padded(text(row, "id"), 12) + padded(text(row, "team"), team) + padded(text(row, "name"), name) +
           padded(text(row, "scope"), 7) + text(row, "made_at").substr(0, 10) + "  " +
           (has(row, "revoked_at") ? "revoked " + text(row, "revoked_at").substr(0, 10) : "live") + "\n";
  return out;
}

}  // namespace agonic::cli
