// Files of magnetic observatories in the IAGA-2002 exchange format: the declination, minute by minute.
//
// IAGA Division V working group V-DAT, IAGA-2002 data exchange format (adopted 2001): lines of 70 characters; a header
// of `label value |`, comments, a line that names the four elements, rows of date, time, day of year and four values.
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/units/problem.hpp"

namespace agonic::survey {

struct Sample {
  std::chrono::sys_seconds time;          ///< UTC
  std::optional<double> declination_deg;  ///< east positive, (-180, 180]; nothing where it is missing
  std::optional<double> horizontal_nt;
};

struct Observatory {
  std::string name, code;                ///< as in the header
  double lat_deg = 0;                    ///< [-90, 90]
  double lon_deg = 0;                    ///< (-180, 180]
  std::vector<std::string> orders;       ///< the elements as reported, one a header: "HDZF"
  std::vector<Sample> samples;           ///< times ascend
  std::chrono::seconds cadence{60};      ///< the usual step
  std::uint64_t missing = 0;             ///< samples without declination
  std::vector<std::uint64_t> bad_lines;  ///< lines that could not be read, from 1; left out
};

/// Reads one file, or several of one observatory one after the other, each with its header and its own order of
/// elements. Declination is read from D, which the format gives in minutes of arc, or from X and Y. 99999 (missing) and
/// 88888 (not recorded) are no values.
/// Refuses a text that is not in this format, one without D or X and Y, several observatories, times that run
/// backward, and a file of which more than one line in a hundred cannot be read. Field "file", or the line.
Result<Observatory> read_observatory(std::string_view text);

}  // namespace agonic::survey
