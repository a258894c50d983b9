// What the tests of places share: reading a text that must be good, and one that must be refused.
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "model/geodesy/place.hpp"

namespace agonic::geodesy {

inline Place read(const std::string& text, const std::string& letters = "", char mark = '.') {
  const auto place = parse_place(text, *parse_letters(letters), mark);
  EXPECT_TRUE(place) << text << ": " << (place ? "" : place.problem().text());
  return place ? *place : Place{std::nan(""), std::nan(""), Place::Notation::degrees, {}, {}, false};
}

inline Problem refused(const std::string& text, const std::string& letters = "", char mark = '.') {
  const auto place = parse_place(text, *parse_letters(letters), mark);
  EXPECT_FALSE(place) << text;
  if (place) return {};
  EXPECT_EQ(place.problem().field, "place");
  EXPECT_EQ(place.problem().value, text);
  EXPECT_FALSE(place.problem().message.empty());
  EXPECT_FALSE(place.problem().remedy.empty()) << text;
  return place.problem();
}

inline bool says(const Problem& problem, const std::string& words) {
  return (problem.message + ' ' + problem.remedy).find(words) != std::string::npos;
}

// Metres between two places near each other, good enough for a tolerance.
inline double apart(const Place& place, double lat, double lon) {
  const double metres = 111'000;
  const double turn = std::remainder(place.lon_deg - lon, 360);
  return std::hypot((place.lat_deg - lat) * metres, turn * metres * std::cos(lat * 0.017453292519943295));
}

}  // namespace agonic::geodesy
