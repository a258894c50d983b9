// The card: everything is on it, on the right side, inside the page, and says what the look-up says.
#include "model/card/card.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "model/card/print.hpp"
#include "model/instrument/registry.hpp"
#include "model/route/card.hpp"

namespace agonic::card {
namespace {

using Options = std::map<std::string, std::string>;

const field::Catalogue& catalogue() {
  static const field::Catalogue loaded(field::built_in_texts());
  return loaded;
}
constexpr std::chrono::sys_days kToday = std::chrono::sys_days(std::chrono::year(2026) / 11 / 25);

Result<Sheet> ask(const Options& options, const instrument::Registry* registry = nullptr) {
  geodesy::Grids grids;
  Parameters parameters;
  for (const auto& [name, value] : options) parameters.values[name] = value;
  return gather(catalogue(), grids, parameters, registry, kToday);
}

Sheet sheet(const Options& options, const instrument::Registry* registry = nullptr) {
  auto made = ask(options, registry);
  if (!made) throw std::runtime_error(made.problem().text());
  return *std::move(made);
}

Sheet route_sheet(const std::string& csv, const Options& options = {}) {
  geodesy::Grids grids;
  route::Request request;
  request.in = route::FormatIn::csv;
  request.body = csv;
  request.today = kToday;
  for (const auto& [name, value] : options) request.parameters.values[name] = value;
  auto made = route::card_of(catalogue(), grids, request, nullptr);
  if (!made) throw std::runtime_error(made.problem().text());
  return *std::move(made);
}

// The text of the card with its lines run together.
std::string said(const Sheet& s) {
  std::string text = plain_text(draw(s));
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

const Options kPlace{{"lat", "42.283"}, {"lon", "-71.35"}, {"height_m", "1000"}, {"date", "2028-07-04"}};

Options with(Options options, const Options& more) {
  for (const auto& [name, value] : more) options[name] = value;
  return options;
}

double x_of(const paper::Drawing& drawing, const std::string& text) {
  for (const auto& element : drawing.elements)
    if (const auto* label = std::get_if<paper::Label>(&element))
      if (label->text == text && label->weight == paper::Weight::bold && label->at.y < 148) return label->at.x;
  throw std::runtime_error("no label " + text);
}

// Inside the page, in its quarter, ten points at least, black.
void expect_legible(const Sheet& s, const std::string& what) {
  const paper::Drawing drawing = draw(s);
  EXPECT_FALSE(paper::check(drawing)) << what;
  for (const auto& element : drawing.elements) {
    if (const auto* label = std::get_if<paper::Label>(&element)) {
      const double width = paper::text_width(label->text, label->size, label->weight);
      const double left = label->anchor == paper::Anchor::start    ? label->at.x
                          : label->anchor == paper::Anchor::middle ? label->at.x - width / 2
                                                                   : label->at.x - width;
      EXPECT_GE(label->size, 10 * 25.4 / 72) << what << ": " << label->text;
      EXPECT_EQ(label->colour.rgb, 0u) << what;
      EXPECT_GE(left, 5) << what << ": " << label->text;
      EXPECT_LE(left + width, 205) << what << ": " << label->text;
      EXPECT_TRUE(left + width <= 103 || left >= 107) << what << ": on the fold: " << label->text;
      EXPECT_LE(label->at.y, 293) << what << ": below the page: " << label->text;
      EXPECT_TRUE(label->at.y <= 146 || label->at.y - label->size >= 149) << what << ": on the fold: " << label->text;
    } else if (const auto* path = std::get_if<paper::Path>(&element)) {
      EXPECT_EQ(path->stroke.value_or(paper::Stroke{}).colour.rgb, 0u) << what;
    }
  }
}

TEST(Card, EveryItemStandsOnIt) {
  const std::string text = said(sheet(with(kPlace, {{"name", "North ridge"}, {"until", "2028-09-30"}})));
  for (const char* item : {"North ridge",
                           "42.28300",
                           "-71.35000",
                           "UTM 19N",
                           "WGS84",  // place
                           "2028-07-04 to 2028-09-30",
                           "km D differs by less than",  // validity
                           "13.69\u00B0 W (-13.69)",
                           "\u00B1 0.37",
                           "95 %",  // declination
                           "Yearly change: ",
                           "toward east (clockwise)",  // in words
                           "Convergence",
                           "G-M angle",
                           "true",
                           "magnetic",
                           "grid",
                           "not to scale",  // angles and arrows
                           "Set the circle to 14\u00B0 W (-14)",
                           "it must read 346",
                           "If it reads 014, it is set backwards",
                           "Map to compass",
                           "Compass to map",                   // worked lines
                           "Magnetic-north lines on the map",  //
                           "330.0",
                           "do not correct them for declination",  // table, dips
                           "H 20",
                           "Inclination",
                           "balanced",
                           "off level",  // needle
                           "Sight back",
                           "within 2\u00B0",
                           "known azimuth or the sun",  // local attraction
                           "Instrument",
                           "Index error",
                           "D set",
                           "by whom",
                           "checked on line",  // blanks
                           "wmm2025",
                           "2025.0 to 2030.0",
                           "agonic ",
                           "computed on 2026-11-25",  // provenance
                           "local rules and licensed surveyors",
                           "Not for navigation"})
    EXPECT_NE(text.find(item), std::string::npos) << item << "\n" << text;
}

TEST(Card, ItsNumbersAreThoseOfTheLookup) {
  const Sheet s = sheet(kPlace);
  const auto json = nlohmann::json::parse(lookup::to_json(s.answer.declination));
  // The published value: WMM2025, 42.283 N 71.35 W, 1000 m, 2028-07-04: D -13.6891, I 65.9899 (documentation of a
  // general numerical package).
  EXPECT_NEAR(json["declination_deg"].get<double>(), -13.6891, 0.00005);
  const std::string text = said(s);
  EXPECT_NE(text.find("13.69\u00B0 W (-13.69)"), std::string::npos);
  EXPECT_NE(text.find("Inclination 66.0\u00B0 down"), std::string::npos) << text;
  // By hand: true 000 is 000 + 13.689 = 013.7 by the needle; 330 is 343.7.
  EXPECT_NE(text.find("000.0\t013.7\t"), std::string::npos) << text;
  EXPECT_NE(text.find("330.0\t343.7\t"), std::string::npos) << text;
}

TEST(Card, GridAndMagneticNorthLieOnTheirSidesInAllEightCases) {
  // Sums by hand after the rule of map reading: magnetic + G-M angle (east) = grid, magnetic + D = true; G-M = D - C.
  struct Case {
    double d, c;
    const char *to_needle, *to_grid, *to_true;
  };
  for (const Case& one : {Case{10, 2, "052.00", "068.00", "070.00"}, Case{10, -2, "048.00", "072.00", "070.00"},
                          Case{-10, 2, "072.00", "048.00", "050.00"}, Case{-10, -2, "068.00", "052.00", "050.00"},
                          Case{2, 10, "068.00", "052.00", "062.00"}, Case{2, -10, "048.00", "072.00", "062.00"},
                          Case{-2, 10, "072.00", "048.00", "058.00"}, Case{-2, -10, "052.00", "068.00", "058.00"}}) {
    Sheet s = sheet(kPlace);
    s.answer.declination.field.elements.declination_deg = one.d;
    s.answer.declination.convergence = Convergence{one.c};
    const paper::Drawing drawing = draw(s);
    const double truth = x_of(drawing, "true"), magnetic = x_of(drawing, "magnetic"), grid = x_of(drawing, "grid");
    const std::string what = std::to_string(one.d) + ", " + std::to_string(one.c);
    EXPECT_EQ(magnetic > truth, one.d > 0) << what;
    EXPECT_EQ(grid > truth, one.c > 0) << what;
    EXPECT_EQ(magnetic > grid, one.d > one.c) << what;
    const std::string text = said(s);
    EXPECT_NE(text.find(std::string("= ") + one.to_needle + " by the needle"), std::string::npos) << what << text;
    EXPECT_NE(text.find(std::string("= ") + one.to_grid + " grid"), std::string::npos) << what << text;
    EXPECT_NE(text.find(std::string("= ") + one.to_true + " true"), std::string::npos) << what << text;
    EXPECT_NE(text.find(one.d > one.c ? "right (east) of the grid" : "left (west) of the grid"), std::string::npos)
        << what << text;
    expect_legible(s, what);
  }
}

TEST(Card, NorthsThatFallTogetherAreNamedTogether) {
  Sheet s = sheet(kPlace);
  s.answer.declination.convergence = Convergence{0};
  EXPECT_NE(said(s).find("true = grid"), std::string::npos);
  s.answer.declination.field.elements.declination_deg = 0.001;
  EXPECT_NE(said(s).find("true = grid = magnetic"), std::string::npos);
  s.answer.declination.field.elements.declination_deg = 3;
  s.answer.declination.convergence = Convergence{3};
  EXPECT_NE(said(s).find("magnetic = grid"), std::string::npos);
  s.answer.declination.convergence.reset();
  EXPECT_NE(said(s).find("= 057.00 by the needle"), std::string::npos) << "060 - 3";
  expect_legible(s, "no grid");
}

TEST(Card, EverythingLiesInsideItsQuarterOfThePage) {
  expect_legible(sheet(kPlace), "west");
  expect_legible(sheet(with(kPlace, {{"name", std::string(60, 'W')}, {"until", "2028-12-31"}})), "long name");
  expect_legible(sheet({{"lat", "-43.5"}, {"lon", "172.6"}, {"date", "2026-06-15"}, {"circle", "quadrant"}}), "east");
  expect_legible(sheet({{"lat", "79.9"}, {"lon", "-85.9"}, {"date", "2026-06-15"}, {"graduation", "0.5"}}), "caution");
  expect_legible(sheet({{"lat", "84.5"}, {"lon", "150"}, {"date", "2026-06-15"}, {"force_unusable", "yes"}}), "forced");
  expect_legible(sheet({{"lat", "47.5"}, {"lon", "9.5"}, {"date", "2025-01-01"}, {"circle", "fixed"}}), "fixed, notes");
  expect_legible(sheet({{"lat", "47.5"}, {"lon", "9.5"}, {"date", "1650"}}), "old");
  expect_legible(sheet({{"place", "32UMA6134481745"}, {"date", "2026-06-15"}, {"crs", "EPSG:25832"}}), "grid square");
  std::string csv = "name,lat,lon,date\n";
  for (int i = 0; i < 30; ++i)
    csv += "Station number " + std::to_string(i) + "," + std::to_string(50 + i) + ",-60,2026-06-" +
           std::to_string(10 + i % 20) + "\n";
  expect_legible(route_sheet(csv, {{"legs", "yes"}, {"tolerance", "2"}}), "long route");
  expect_legible(route_sheet("lat,lon,date\n46,7,2026-06-15\n47,8,2026-06-16\n"), "short route");
}

TEST(Card, ARouteSaysWhereToSetAnew) {
  const std::string text = said(
      route_sheet("name,lat,lon,date\nHut,64.1,-21.9,2026-06-01\nCamp,64.9,-14.0,2026-06-09\n", {{"legs", "yes"}}));
  for (const char* item :
       {"Hut to Camp, 2026-06-01 to 2026-06-09", "One setting for all", "Set anew, to stay within 0.5",
        "11\u00B0 W (needle 349) from Hut", "Declination at the stops", "7.22\u00B0 W Camp", "Most left over"})
    EXPECT_NE(text.find(item), std::string::npos) << item << "\n" << text;
}

TEST(Card, AnUnusableNeedleGetsNoCardUnlessForced) {
  const Options pole{{"lat", "85.8"}, {"lon", "139"}, {"date", "2026-06-15"}};
  const auto refused = ask(pole);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.problem().code, Code::needle_unusable);
  EXPECT_NE(said(sheet(with(pole, {{"force_unusable", "yes"}}))).find("does not show a direction"), std::string::npos);
  const Sheet weak = sheet({{"lat", "79.9"}, {"lon", "-85.9"}, {"date", "2026-06-15"}});
  EXPECT_NE(said(weak).find("caution"), std::string::npos);
}

TEST(Card, AnInstrumentPrintsWhatIsRecordedForTheDay) {
  instrument::Record record;
  record.id = "BR-07";
  instrument::Description pocket;
  pocket.circle.graduation_deg = 0.5;
  pocket.note = "pocket";
  instrument::IndexError error;
  error.curve.a = 0.4;
  error.covariance = instrument::IndexCovariance::constant(0.2);
  error.span.from = std::chrono::year(2026) / 1 / 1;
  error.how = "known line";
  ASSERT_FALSE(add(record, {1, "local", "2026-01-01T00:00:00Z", "new"}, pocket));
  ASSERT_FALSE(add(record, {2, "local", "2026-01-02T00:00:00Z", "spring"}, error));
  const instrument::MemoryRegistry registry({record});
  const Options options{{"lat", "46.5"}, {"lon", "7.25"}, {"date", "2026-06-15"}, {"instrument", "BR-07"}};
  const std::string text = said(sheet(options, &registry));
  EXPECT_NE(text.find("Instrument BR-07"), std::string::npos) << text;
  EXPECT_NE(text.find("azimuth index error +0.40 \u00B1 0.20"), std::string::npos) << text;
  EXPECT_NE(text.find("Set the circle to 3.5\u00B0 E (+3.5)"), std::string::npos) << "its own graduation: " << text;
  EXPECT_EQ(ask(options).problem().code, Code::instrument_unknown);
}

TEST(Card, TheRadiusIsWhereTheDeclinationHasChanged) {
  const Sheet s = sheet(kPlace);
  ASSERT_TRUE(s.radius_km);
  // On the circle of that radius the change is nearly half a degree somewhere, and nowhere more.
  const auto& at = s.answer.declination.query;
  const field::Spot spot{at.place.lat_deg, at.place.lon_deg, 0, at.date.decimal_year};
  const auto& model = *s.answer.declination.field.model;
  const double here =
      field::elements(field::evaluate(model, spot.lat_deg, spot.lon_deg, 0, spot.decimal_year)).declination_deg;
  double most = 0;
  for (int k = 0; k < 72; ++k) {
    const double north = *s.radius_km / 111.2 * std::cos(k * kPi / 36);
    const double east = *s.radius_km / 111.2 * std::sin(k * kPi / 36) / std::cos(spot.lat_deg * kDegree);
    most = std::max(most, std::abs(field::elements(field::evaluate(model, spot.lat_deg + north, spot.lon_deg + east, 0,
                                                                   spot.decimal_year))
                                       .declination_deg -
                                   here));
  }
  EXPECT_LT(most, 0.52);
  EXPECT_GT(most, 0.42);
}

TEST(Card, TheHtmlStandsAloneAndHoldsTheTextAsText) {
  const auto page = html(sheet(with(kPlace, {{"name", "<script>alert(1)</script> & ridge"}})));
  ASSERT_TRUE(page) << page.problem().text();
  EXPECT_EQ(page->find("<script"), std::string::npos);
  EXPECT_EQ(page->find("href=\"http"), std::string::npos);
  EXPECT_EQ(page->find("url("), std::string::npos);
  EXPECT_NE(page->find("@page { size: A4"), std::string::npos);
  EXPECT_NE(page->find("<svg"), std::string::npos);
  EXPECT_NE(page->find("&amp; ridge"), std::string::npos);
}

TEST(Card, PdfAndPngAreOnePage) {
  const Sheet s = sheet(kPlace);
  const auto pdf = print(s, Format::pdf), png = print(s, Format::png);
  ASSERT_TRUE(pdf) << pdf.problem().text();
  ASSERT_TRUE(png) << png.problem().text();
  EXPECT_EQ(pdf->substr(0, 5), "%PDF-");
  EXPECT_EQ(png->substr(1, 3), "PNG");
  EXPECT_EQ(format_of_name("application/pdf"), Format::pdf);
  EXPECT_FALSE(format_of_name("docx"));
}

}  // namespace
}  // namespace agonic::card
