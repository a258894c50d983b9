#include "model/survey/observatory.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "model/units/angle.hpp"
#include "model/units/number.hpp"

namespace agonic::survey {
namespace {

using namespace std::chrono;

constexpr double kNoValue = 88888 - 0.01;  // 88888 not recorded, 99999 missing; no element is as large
constexpr std::string_view kElements = "XYZHDIFSGE";
constexpr std::size_t kLabelEnd = 24;

std::vector<std::string_view> words_of(std::string_view line) {
  std::vector<std::string_view> out;
  while (true) {
    const std::size_t start = line.find_first_not_of(" \t|");
    if (start == std::string_view::npos) return out;
    line.remove_prefix(start);
    const std::size_t end = std::min(line.find_first_of(" \t|"), line.size());
    out.push_back(line.substr(0, end));
    line.remove_prefix(end);
  }
}

Problem bad_file(std::string field, std::string message, std::string remedy) {
  return {Code::file_malformed, std::move(field), {}, std::move(message), std::move(remedy)};
}
std::string at_line(std::uint64_t line) { return "line " + std::to_string(line); }

// Whole digits at fixed places.
std::optional<int> digits(std::string_view text, std::size_t at, std::size_t count) {
  if (text.size() < at + count) return std::nullopt;
  int out = 0;
  for (const char c : text.substr(at, count)) {
    if (c < '0' || c > '9') return std::nullopt;
    out = out * 10 + (c - '0');
  }
  return out;
}

std::optional<sys_seconds> instant(std::string_view date, std::string_view time, std::string_view day_of_year) {
  const auto y = digits(date, 0, 4), m = digits(date, 5, 2), d = digits(date, 8, 2);
  const auto hour = digits(time, 0, 2), minute = digits(time, 3, 2), second = digits(time, 6, 2);
  if (!y || !m || !d || !hour || !minute || !second || date.size() != 10 || date[4] != '-' || date[7] != '-')
    return std::nullopt;
  const year_month_day day{year{*y}, month{static_cast<unsigned>(*m)}, std::chrono::day{static_cast<unsigned>(*d)}};
  if (!day.ok() || *hour > 23 || *minute > 59 || *second > 59 || time[2] != ':' || time[5] != ':') return std::nullopt;
  const sys_days start = sys_days{year{*y} / January / 1};
  const auto number = digits(day_of_year, 0, 3);
  if (!number || sys_days{day} - start != days{*number - 1}) return std::nullopt;
  return sys_days{day} + hours{*hour} + minutes{*minute} + seconds{*second};
}

class Reader {
 public:
  Result<Observatory> read(std::string_view text) {
    std::uint64_t data_lines = 0;
    while (!text.empty()) {
      ++line_;
      const std::size_t end = std::min(text.find('\n'), text.size());
      std::string_view line = text.substr(0, end);
      text.remove_prefix(std::min(end + 1, text.size()));
      while (!line.empty() && (line.back() == '\r' || line.back() == ' ')) line.remove_suffix(1);
      if (line.empty()) continue;
      const auto words = words_of(line);
      if (words.empty()) continue;
      if (!seen_format_ && (line.front() != ' ' || lower(words[0]) != "format"))
        return bad_file("file", "the first line of an IAGA-2002 file says so: Format, IAGA-2002",
                        "Give the file as it came from the observatory");
      if (words[0] == "DATE") {
        if (auto problem = columns(words)) return *problem;
      } else if (line.front() == ' ') {
        if (auto problem = header(line)) return *problem;
      } else {
        ++data_lines;
        if (auto problem = row(words)) return *problem;
      }
    }
    if (out_.orders.empty())
      return bad_file("file", "there is no line that names the elements", "Give the whole file, with its header");
    if (!lat_ || !lon_)
      return bad_file("file", "the header does not say where the observatory is",
                      "It needs Geodetic Latitude and Geodetic Longitude");
    if (out_.bad_lines.size() * 100 > data_lines)
      return bad_file(at_line(out_.bad_lines.front()),
                      std::to_string(out_.bad_lines.size()) + " of " + std::to_string(data_lines) +
                          " lines cannot be read, this one first",
                      "A row is a date, a time, a day of the year that fits the date, and four numbers");
    if (out_.samples.empty() || out_.missing == out_.samples.size())
      return bad_file("file", "the file holds no declination", "Give one with values");
    out_.lat_deg = *lat_;
    out_.lon_deg = wrap_180(*lon_);
    find_cadence();
    return std::move(out_);
  }

 private:
  std::optional<Problem> header(std::string_view line) {
    if (line.size() > 1 && line[1] == '#') return std::nullopt;
    const std::string label = lower(trim(line.substr(0, std::min(kLabelEnd, line.size()))));
    std::string_view value = line.size() > kLabelEnd ? line.substr(kLabelEnd) : std::string_view();
    value = trim(value.substr(0, value.find('|')));
    if (label == "format") {
      if (lower(value) != "iaga-2002")
        return bad_file(at_line(line_), "the format is not IAGA-2002", "Give such a file");
      seen_format_ = true;
    } else if (label == "station name") {
      out_.name = std::string(value);
    } else if (label == "iaga code") {
      if (!out_.code.empty() && out_.code != value)
        return bad_file(at_line(line_), "the file goes on with another observatory, " + printable(value, 8),
                        "Give the files of one observatory at a time");
      out_.code = std::string(value);
    } else if (label == "geodetic latitude") {
      return degrees(value, 90, lat_);
    } else if (label == "geodetic longitude") {
      return degrees(value, 360, lon_);
    } else if (label == "reported") {
      reported_ = std::string(value);
    }
    return std::nullopt;
  }
  std::optional<Problem> degrees(std::string_view value, double most, std::optional<double>& into) const {
    const auto number = parse_number(value);
    if (!number || std::abs(*number) > most)
      return bad_file(at_line(line_), "the observatory's place is no number of degrees", "Give it in decimal degrees");
    into = number;
    return std::nullopt;
  }
  // The element is the last letter of each of the four names, whatever the length of the code before it.
  std::optional<Problem> columns(const std::vector<std::string_view>& words) {
    order_.clear();
    for (std::size_t i = 3; i < words.size(); ++i) order_ += words[i].back();
    if (words.size() != 7 || order_.find_first_not_of(kElements) != std::string::npos)
      return bad_file(at_line(line_),
                      "this line names four elements, each by the station's code and a letter of XYZHDIFSG",
                      "Give the file as it came from the observatory");
    if (reported_.size() == 4 && reported_ != order_)
      return bad_file(at_line(line_), "the header reports " + reported_ + " and the columns are " + order_,
                      "One of them is wrong: ask the observatory");
    if (order_.find('D') == std::string::npos &&
        (order_.find('X') == std::string::npos || order_.find('Y') == std::string::npos))
      return bad_file(at_line(line_), "neither D nor X and Y are among the elements " + order_,
                      "Give a file with the declination or both horizontal components");
    out_.orders.push_back(order_);
    return std::nullopt;
  }
  std::optional<Problem> row(const std::vector<std::string_view>& words) {
    if (order_.empty())
      return bad_file(at_line(line_), "a row comes before the line that names the elements", "Give the whole file");
    std::map<char, double> values;
    bool sound = words.size() == 7;
    for (std::size_t i = 0; i < 4 && sound; ++i) {
      const auto value = parse_number(words[3 + i]);
      sound = value.has_value();
      if (sound && *value < kNoValue) values[order_[i]] = *value;
    }
    const auto time = sound ? instant(words[0], words[1], words[2]) : std::nullopt;
    if (!time) {
      out_.bad_lines.push_back(line_);
      return std::nullopt;
    }
    if (!out_.samples.empty() && *time <= out_.samples.back().time)
      return bad_file(at_line(line_), "the time does not go on from the row before", "Give files in order of time");
    Sample sample;
    sample.time = *time;
    const auto get = [&](char c) { return values.contains(c) ? std::optional(values[c]) : std::nullopt; };
    if (const auto d = get('D')) {
      sample.declination_deg = wrap_180(*d / 60);  // minutes of arc
      sample.horizontal_nt = get('H');
    } else if (const auto x = get('X'), y = get('Y'); x && y) {
      sample.horizontal_nt = std::hypot(*x, *y);
      sample.declination_deg = std::atan2(*y, *x) / kDegree;
    }
    if (!sample.declination_deg) ++out_.missing;
    out_.samples.push_back(sample);
    return std::nullopt;
  }
  void find_cadence() {
    std::vector<seconds> steps;
    for (std::size_t i = 1; i < out_.samples.size(); ++i)
      steps.push_back(out_.samples[i].time - out_.samples[i - 1].time);
    if (steps.empty()) return;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    out_.cadence = *middle;
  }

  Observatory out_;
  std::uint64_t line_ = 0;
  bool seen_format_ = false;
  std::string reported_, order_;
  std::optional<double> lat_, lon_;
};

}  // namespace

Result<Observatory> read_observatory(std::string_view text) { return Reader().read(text); }

}  // namespace agonic::survey
