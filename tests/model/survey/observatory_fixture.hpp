// Observatory files made for a test.
#pragma once

#include <chrono>
#include <cstdio>
#include <string>

namespace agonic::survey {

inline std::string header_line(const std::string& label, const std::string& value) {
  char line[80];
  std::snprintf(line, sizeof line, " %-23s%-45s|\n", label.c_str(), value.c_str());
  return line;
}

/// The head of a file with these four elements.
inline std::string head(const std::string& order = "HDZF", const std::string& code = "ZZZ",
                        const std::string& lat = "50.0", const std::string& lon = "0.0") {
  std::string out =
      header_line("Format", "IAGA-2002") + header_line("Station Name", "Invented") + header_line("IAGA Code", code) +
      header_line("Geodetic Latitude", lat) + header_line("Geodetic Longitude", lon) + header_line("Reported", order) +
      " # an invented comment                                              |\n" + "DATE       TIME         DOY  ";
  for (const char c : order) out += "     " + code + c;
  return out + "   |\n";
}

inline std::string row(std::chrono::sys_seconds time, double a, double b, double c, double d) {
  const auto day = std::chrono::floor<std::chrono::days>(time);
  const std::chrono::year_month_day date{day};
  const auto of_year = (day - std::chrono::sys_days{date.year() / std::chrono::January / 1}).count() + 1;
  const auto s = (time - day).count();
  char line[120];
  std::snprintf(line, sizeof line, "%04d-%02u-%02u %02d:%02d:%02d.000 %03d   %10.2f%10.2f%10.2f%10.2f\n",
                static_cast<int>(date.year()), static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                static_cast<int>(s / 3600), static_cast<int>(s / 60 % 60), static_cast<int>(s % 60),
                static_cast<int>(of_year), a, b, c, d);
  return line;
}

inline std::chrono::sys_seconds instant(int month, unsigned day, int hour = 0, int minute = 0) {
  using namespace std::chrono;
  return sys_days{year{2003} / month / static_cast<int>(day)} + hours{hour} + minutes{minute};
}

}  // namespace agonic::survey
