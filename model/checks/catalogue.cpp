#include "model/checks/catalogue.hpp"

#include <algorithm>
#include <bit>

#include "model/checks/tables.hpp"
#include "model/units/prose.hpp"

namespace agonic::checks {
namespace {

struct PlaceWords {
  std::string_view word, heading;
};
constexpr std::array<PlaceWords, kPlaces> kPlaceWords{{{"row", "Readings, row by row"},
                                                       {"file", "Whole files"},
                                                       {"lookup", "Declination at a place and date"},
                                                       {"setting", "What to set on the circle"},
                                                       {"sun", "The sun"},
                                                       {"traverse", "Traverse"},
                                                       {"rotation", "Rotation from found lines"},
                                                       {"swing", "The day's swing"},
                                                       {"route", "Route"},
                                                       {"fit", "Index errors from sightings"},
                                                       {"instruments", "Records of instruments"},
                                                       {"review", "Review of a data set"},
                                                       {"service", "The service"}}};

std::vector<Entry> gathered() {
  std::vector<Entry> out;
  const auto take = [&](std::span<const Entry> entries) { out.insert(out.end(), entries.begin(), entries.end()); };
  take(place_and_date_stops());
  take(reading_stops());
  take(row_marks());
  take(file_stops());
  take(lookup_warnings());
  take(traverse_notes());
  take(rotation_and_swing_notes());
  take(route_notes());
  take(fit_remarks());
  take(instrument_findings());
  take(review_checks());
  take(service_faults());
  std::stable_sort(out.begin(), out.end(), [](const Entry& a, const Entry& b) { return group(a) < group(b); });
  return out;
}

}  // namespace

std::string_view word(Kind kind) noexcept {
  constexpr std::array<std::string_view, 4> kWords{"stop", "ask", "warn", "note"};
  return kWords[static_cast<std::size_t>(kind)];
}
std::string_view word(Where where) noexcept { return kPlaceWords[static_cast<std::size_t>(where)].word; }
std::string_view heading(Where where) noexcept { return kPlaceWords[static_cast<std::size_t>(where)].heading; }
std::string_view word(Basis basis) noexcept {
  constexpr std::array<std::string_view, 3> kWords{"published", "common practice", "judgement"};
  return kWords[static_cast<std::size_t>(basis)];
}

std::span<const Entry> catalogue() {
  static const std::vector<Entry> all = gathered();
  return all;
}

const Entry* find(std::string_view code) noexcept {
  const auto all = catalogue();
  const auto at = std::find_if(all.begin(), all.end(), [&](const Entry& entry) { return entry.code == code; });
  return at == all.end() ? nullptr : &*at;
}

std::string_view nearest(std::string_view code) {
  std::vector<std::string_view> codes;
  for (const Entry& entry : catalogue()) codes.push_back(entry.code);
  return nearest_name(code, codes);
}

Where group(const Entry& entry) noexcept { return static_cast<Where>(std::countr_zero(entry.where)); }

std::string_view base(Where door) noexcept {
  switch (door) {
    case Where::row:
      return "lat=46; lon=8; date=2026-05-01; north_reference=circle; set_declination=0; azimuth=100";
    case Where::lookup:
    case Where::setting:
      return "lat=46; lon=8; date=2026-05-01";
    case Where::sun:
      return "lat=46; lon=8; time=2026-05-01T06:00Z";
    default:
      return {};
  }
}

}  // namespace agonic::checks
