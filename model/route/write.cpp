// The sheet as columns beside the stops and as JSON.
#include "model/route/parts.hpp"
#include "model/units/angle.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/json_out.hpp"
#include "model/units/number.hpp"

namespace agonic::route {
namespace {

void add_setting(JsonObject& out, const instrument::Setting& setting, const instrument::CircleKind& circle,
                 double largest_leftover_deg) {
  const int decimals = instrument::decimals_of(circle.graduation_deg);
  out.add("set_to_deg", setting.set_to_deg);
  out.add("set_to_text", declination_text(setting.set_to_deg, decimals));
  out.add("turn", instrument::word(setting.turn));
  out.add("reads_along_needle_deg", setting.reads_along_needle_deg);
  out.add("reads_along_needle_text", instrument::reads_text(setting.reads_along_needle_deg, circle));
  out.add("reads_if_backwards_deg", setting.reads_if_backwards_deg);
  out.add("reads_if_backwards_text", instrument::reads_text(setting.reads_if_backwards_deg, circle));
  out.add("largest_leftover_deg", largest_leftover_deg);
}

// Where a sample is, as members with a prefix.
void add_place(JsonObject& out, const std::string& prefix, const Sheet& sheet, std::size_t sample) {
  const Sample& at = sheet.samples[sample];
  if (at.stop)
    out.add_count(prefix + "row", sheet.stops[*at.stop].row + 1);
  else
    out.null(prefix + "row");
  out.add(prefix + "km", at.km);
  out.add(prefix + "lat_deg", at.spot.lat_deg);
  out.add(prefix + "lon_deg", at.spot.lon_deg);
  out.add(prefix + "date", at.stop ? sheet.stops[*at.stop].date.iso : date_of_year(at.spot.decimal_year));
}

// A part of the document that JsonObject has no words for: raw text as a member.
class Document {
 public:
  void raw(std::string_view name, std::string_view json) {
    out_ += out_.empty() ? "{" : ",";
    out_.append("\"").append(name).append("\":").append(json);
  }
  template <class Fill>
  void object(std::string_view name, const Fill& fill) {
    Text text;
    JsonObject object(text);
    fill(object);
    object.end();
    raw(name, text.view());
  }
  template <class Items, class Fill>
  void array(std::string_view name, const Items& items, const Fill& fill) {
    std::string list = "[";
    for (std::size_t i = 0; i < items.size(); ++i) {
      Text text;
      JsonObject object(text);
      fill(object, items[i], i);
      object.end();
      list += (i > 0 ? "," : "") + std::string(text.view());
    }
    raw(name, list + "]");
  }
  [[nodiscard]] std::string finish() const { return out_ + "}"; }

 private:
  std::string out_;
};

}  // namespace

std::vector<desk::Added> added_of(const Sheet& sheet) {
  using desk::Value;
  std::vector<std::optional<std::size_t>> stop_of_row(sheet.table.rows.size());
  for (std::size_t s = 0; s < sheet.stops.size(); ++s) stop_of_row[sheet.stops[s].row] = s;
  std::vector<desk::Added> out;
  out.reserve(sheet.table.rows.size());
  std::optional<std::size_t> before;  // the setting of the last stop that had one
  const double start = sheet.samples.front().field.elements.declination_deg;
  for (std::size_t i = 0; i < sheet.table.rows.size(); ++i) {
    const auto s = stop_of_row[i];
    const Sample* at = s ? &sheet.samples[sheet.sample_of_stop[*s]] : nullptr;
    const auto setting = s ? sheet.setting_of_stop[*s] : std::nullopt;
    const auto number = [&](auto&& get) { return at != nullptr ? Value(get(*at)) : Value(); };
    const double d = at != nullptr ? at->field.elements.declination_deg : 0;
    Value set_to, leftover, anew;
    if (setting) {
      const auto& mine = sheet.settings[*setting].stretch.setting;
      set_to = mine.set_to_deg;
      leftover = wrap_180(d - mine.set_to_deg);
      anew = std::string(before == setting ? "no" : "yes");
      before = setting;
    }
    out.push_back({{"km", number([](const Sample& a) { return a.km; })},
                   {"declination", number([&](const Sample&) { return d; })},
                   {"declination_sigma", number([](const Sample& a) { return a.field.sigma_deg; })},
                   {"declination_95", number([](const Sample& a) { return a.field.half_width_95_deg; })},
                   {"declination_from_start", number([&](const Sample&) { return wrap_180(d - start); })},
                   {"inclination", number([](const Sample& a) { return a.field.elements.inclination_deg; })},
                   {"horizontal_nt", number([](const Sample& a) { return a.field.elements.horizontal_nt; })},
                   {"needle", number([](const Sample& a) { return std::string(field::word(a.field.needle)); })},
                   {"set_to", set_to},
                   {"leftover", leftover},
                   {"set_anew", anew},
                   {"date_used", s ? Value(sheet.stops[*s].date.iso) : Value()},
                   {"model", number([](const Sample& a) { return a.field.model->id; })},
                   {"status", std::string(s ? "done" : "refused")},
                   {"remark", sheet.refused[i] ? Value(sheet.refused[i]->text()) : Value(std::string())}});
  }
  return out;
}

std::string json_of(const Sheet& sheet, const std::vector<desk::Added>& added) {
  const auto& circle = sheet.rules.circle;
  Document out;
  out.raw("stops", desk::rows_json(sheet.table, added));
  out.object("route", [&](JsonObject& o) {
    o.add_count("stops", sheet.table.rows.size());
    o.add_count("refused", sheet.table.rows.size() - sheet.stops.size());
    o.add("length_km", sheet.samples.back().km);
    o.add("legs", sheet.rules.legs);
    o.add("graduation_deg", circle.graduation_deg);
    o.add("circle", !circle.turnable                                  ? "fixed"
                    : circle.figures == instrument::Figures::quadrant ? "quadrant"
                                                                      : "azimuth");
    o.add("east_turn", instrument::word(circle.east_turn));
    o.add("tolerance_deg", sheet.rules.tolerance_deg);
    o.add("tolerance_basis", sheet.rules.tolerance_given ? "as asked" : "half a graduation");
    o.add("declination_low_deg", sheet.low_deg);
    o.add("declination_high_deg", wrap_180(sheet.high_deg));
    o.add("declination_range_deg", sheet.high_deg - sheet.low_deg);
    o.add("declination_sigma_largest_deg", sheet.sigma_deg);
    o.add("declination_95_largest_deg", sheet.half_width_95_deg);
    o.add("sigma_basis", sheet.samples.front().field.sigma_basis);
    o.add("inclination_low_deg", sheet.inclination_low_deg);
    o.add("inclination_high_deg", sheet.inclination_high_deg);
    o.add("model", sheet.models());
  });
  if (sheet.one)
    out.object("one_setting", [&](JsonObject& o) {
      add_setting(o, sheet.one->setting, circle, sheet.one->largest_leftover_deg);
      add_place(o, "most_left_at_", sheet, sheet.one_at);
    });
  else
    out.raw("one_setting", "null");
  out.array("settings", sheet.settings, [&](JsonObject& o, const Leg& leg, std::size_t) {
    add_setting(o, leg.stretch.setting, circle, leg.stretch.largest_leftover_deg);
    add_place(o, "from_", sheet, leg.first);
    add_place(o, "to_", sheet, leg.last);
  });
  out.array("needle_zones", sheet.zones, [&](JsonObject& o, const Zone& zone, std::size_t) {
    o.add("needle", field::word(zone.needle));
    add_place(o, "from_", sheet, zone.first);
    add_place(o, "to_", sheet, zone.last);
  });
  out.array("along", sheet.samples, [&](JsonObject& o, const Sample& at, std::size_t i) {
    add_place(o, "", sheet, i);
    o.add("declination_deg", at.field.elements.declination_deg);
    o.add("declination_sigma_deg", at.field.sigma_deg);
    o.add("inclination_deg", at.field.elements.inclination_deg);
    o.add("horizontal_nt", at.field.elements.horizontal_nt);
    o.add("needle", field::word(at.field.needle));
  });
  out.raw("notes", desk::notes_json(sheet.notes));
  out.raw("instructions", desk::json_text(text_of(sheet)));
  out.raw("software", desk::json_text("agonic " AGONIC_VERSION));
  return out.finish();
}

}  // namespace agonic::route
