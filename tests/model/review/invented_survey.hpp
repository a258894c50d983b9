// An invented survey of thirty years, the same for the same seed: lines and planes read again and again by several
// hands, true declinations from the models, errors as a hand compass has them. And faults to plant in it.
#pragma once

#include <chrono>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace agonic::review {

/// What is planted; `none` is a clean survey.
enum class Fault {
  none,
  sign_applied,     ///< one instrument's rows were made true with the wrong sign
  sign_written,     ///< one instrument's setting is written down with the wrong sign
  corrected_twice,  ///< one instrument was set, and written down as not set
  not_corrected,    ///< one instrument's rows are called true and are magnetic
  stale_written,    ///< one instrument's setting stayed where it was in its first year, and is written so
  stale_silent,     ///< the same, and the notes have the declination of each year
  places_swapped,   ///< latitude and longitude exchanged in the rows of one day
  mirror_dial,      ///< one instrument's dial has east and west exchanged
  wrong_zone,       ///< the zone number of the rows of one day
};
inline constexpr std::size_t kFaults = static_cast<std::size_t>(Fault::wrong_zone) + 1;
std::string_view name(Fault fault);

struct Survey {
  std::string csv;
  std::vector<std::uint64_t> faulty;  ///< rows that the fault is in
};

/// About 450 rows. @param seed any; it chooses place, people and readings
Survey invented_survey(Fault fault, std::uint64_t seed);

}  // namespace agonic::review
