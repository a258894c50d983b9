// Invented notebooks for the benchmarks, the same in every run.
#pragma once

#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "coefficients/folder.hpp"
#include "model/exchange/batch.hpp"
#include "model/field/catalogue.hpp"

namespace agonic::bench {

struct Notebook {
  std::size_t rows = 0;
  std::string csv, ndjson;
};

inline const field::Catalogue& catalogue() {
  static const field::Catalogue models(coefficient_texts(""));
  return models;
}

inline exchange::BatchOptions notebook_options(exchange::Format format, exchange::Executor* executor) {
  exchange::BatchOptions options;
  options.in = options.out = format;
  options.today = std::chrono::sys_days(std::chrono::year(2026) / 11 / 25);
  options.executor = executor;
  return options;
}

namespace detail {

class Writer {
 public:
  explicit Writer(std::vector<const char*> names) : names_(std::move(names)) {
    for (std::size_t i = 0; i < names_.size(); ++i) (book.csv += i ? "," : "") += names_[i];
    book.csv += '\n';
  }
  void row(const std::vector<std::string>& cells) {
    std::string json;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      (book.csv += i ? "," : "") += cells[i];
      if (cells[i].empty()) continue;
      const bool number = cells[i].find_first_not_of("0123456789.-") == std::string::npos && cells[i].find('-', 1) > 99;
      (json += json.empty() ? "{\"" : ",\"").append(names_[i]).append(number ? "\":" : "\":\"");
      // JSON numbers have no leading zeros.
      const bool zeros = number && cells[i].find('.') == std::string::npos;
      json += zeros ? cells[i].substr(std::min(cells[i].find_first_not_of('0'), cells[i].size() - 1)) : cells[i];
      if (!number) json += '"';
    }
    book.csv += '\n';
    book.ndjson += json + "}\n";
    ++book.rows;
  }
  Notebook book;

 private:
  std::vector<const char*> names_;
};

inline std::string text(const char* form, auto... values) {
  char buffer[64];
  return {buffer, static_cast<std::size_t>(std::snprintf(buffer, sizeof buffer, form, values...))};
}

}  // namespace detail

/// Planes, lines and directions of several seasons: six readings a station, twelve stations a day.
inline Notebook notebook(std::size_t rows) {
  using detail::text;
  detail::Writer out({"id", "station", "lat", "lon", "height_m", "date", "azimuth", "dip", "plunge", "plane_convention",
                      "north_reference", "set_declination", "note"});
  std::mt19937_64 random(3);
  const auto below = [&](unsigned n) { return static_cast<unsigned>(random() % n); };
  std::string lat, lon, height, date, set;
  for (std::size_t i = 0; i < rows; ++i) {
    if (i % 6 == 0) {
      lat = text("%.5f", 58.0 + below(90000) * 1e-5);
      lon = text("%.5f", -129.9 + below(90000) * 1e-5);
      height = text("%u", 300 + below(1500));
    }
    if (i % 72 == 0) {
      const unsigned years = below(20);
      date = text("%u-%02u-%02u", 2003 + years, 6 + below(3), 2 + below(27));
      set = text("%.1f", 22.9 - 0.22 * years);  // about the declination there and then
    }
    const unsigned kind = below(4);
    out.row({text("K%06zu", i), text("ST-%04zu", i / 6), lat, lon, height, date, text("%03u", below(360)),
             kind < 2 ? text("%u", 11 + below(78)) : "", kind == 2 ? text("%u", below(89)) : "",
             kind < 2 ? "right_hand" : "", "circle", set, kind == 0 ? "bedding, upright" + std::string() : "joint"});
  }
  // A cell with the delimiter is quoted.
  for (std::size_t at = 0; (at = out.book.csv.find(",bedding, upright", at)) != std::string::npos; at += 20)
    out.book.csv.replace(at, 17, ",\"bedding, upright\"");
  return out.book;
}

/// Directions with a place and a date of their own each, all over the world.
inline Notebook bare_directions(std::size_t rows) {
  using detail::text;
  detail::Writer out({"id", "lat", "lon", "date", "azimuth", "north_reference", "set_declination"});
  std::mt19937_64 random(4);
  const auto below = [&](unsigned n) { return static_cast<unsigned>(random() % n); };
  for (std::size_t i = 0; i < rows; ++i)
    out.row({text("%zu", i), text("%.4f", -60.0 + below(1200000) * 1e-4), text("%.4f", -180.0 + below(3600000) * 1e-4),
             text("%u-%02u-%02u", 1902 + below(120), 1 + below(12), 2 + below(27)), text("%.1f", below(3600) * 0.1),
             "magnetic", ""});
  return out.book;
}

}  // namespace agonic::bench
