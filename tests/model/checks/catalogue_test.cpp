// The catalogue held to the program: every code is raised by its example and not by the near one, and no code is in the
// sources and not here, or the other way round.
#include <gtest/gtest.h>

#include <filesystem>
#include <regex>

#include "model/field/warnings.hpp"
#include "model/instrument/blunder.hpp"
#include "model/instrument/service_report.hpp"
#include "model/reading/checks.hpp"
#include "model/review/checks.hpp"
#include "tests/model/checks/doors.hpp"

namespace agonic::checks {
namespace {

TEST(Catalogue, EveryExampleRaisesItsCodeAndTheNearOneDoesNot) {
  for (const Entry& entry : catalogue()) {
    const Example& example = entry.example;
    if (example.in_words) continue;
    const Codes yes = said(example.door, example.raises);
    EXPECT_TRUE(yes.contains(entry.code)) << entry.code << " is not raised; said were" << shown(yes);
    if (example.passes.text.empty() && example.passes.options.empty()) {
      EXPECT_EQ(entry.kind, Kind::note) << entry.code << ": only a note is always said";
      continue;
    }
    const Codes no = said(example.door, example.passes);
    EXPECT_FALSE(no.contains(entry.code)) << entry.code << " is raised by its near miss";
    EXPECT_FALSE(no.contains("no door"));
    // A near miss that is refused for another reason proves nothing.
    if (entry.kind == Kind::note) continue;
    for (const std::string& code : no) {
      const Entry* other = find(code);
      EXPECT_TRUE(other == nullptr || other->kind != Kind::stop)
          << entry.code << ": its near miss is refused with " << code;
    }
  }
}

TEST(Catalogue, CodesAreUniqueAndEveryPageIsWhole) {
  Codes seen;
  for (const Entry& entry : catalogue()) {
    EXPECT_TRUE(seen.insert(std::string(entry.code)).second) << entry.code;
    EXPECT_EQ(entry.code.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-"), std::string_view::npos)
        << entry.code;
    EXPECT_NE(entry.where, 0) << entry.code;
    EXPECT_TRUE((entry.where & at(entry.example.door)) != 0) << entry.code << ": its example comes from elsewhere";
    for (const std::string_view text : {entry.meaning, entry.why, entry.remedy})
      EXPECT_GE(text.size(), 10) << entry.code;
  }
}

// A threshold is printed from its constant; the sentence beside it must not say another one.
TEST(Catalogue, WhatAPageSaysOfAThresholdIsTheConstant) {
  const std::map<double, std::string> in_words{{0.1, "tenth"}, {0.5, "half"},        {2, "twice"},
                                               {3, "three"},   {1, "within a year"}, {0.05, "twentieth"}};
  for (const Entry& entry : catalogue())
    for (const Limit& limit : entry.limits) {
      if (limit.name.empty()) continue;
      const std::string number = format_trimmed(limit.value, 2);
      const bool figure =
          std::regex_search(std::string(entry.meaning), std::regex("(^|[^0-9.])" + number + "($|[^0-9])"));
      const auto spoken = in_words.find(limit.value);
      const bool written = spoken != in_words.end() && entry.meaning.find(spoken->second) != std::string_view::npos;
      EXPECT_TRUE(figure || written || entry.code == "declination-sign" || entry.code == "declination-unset")
          << entry.code << ": " << limit.name << " " << number << " is not in: " << entry.meaning;
    }
}

// Everything that the sources can say, gathered from tables where there are any and from the text of the code else.
Codes in_the_sources() {
  Codes out;
  for (int code = 0; code <= static_cast<int>(Code::internal); ++code) out.emplace(word(static_cast<Code>(code)));
  for (const auto& check : reading::all_checks()) out.emplace(check.code);
  for (int blunder = 1; blunder <= static_cast<int>(instrument::Blunder::gross); ++blunder)
    out.emplace(instrument::word(static_cast<instrument::Blunder>(blunder)));
  for (const auto& check : review::all_review_checks()) out.emplace(check.code);
  // notes.push_back({"code", ...}), checks.emplace_back("code"), warn({"code", ...}), and the field's own list
  const std::regex said(
      R"re((?:\b(?:notes|remarks|findings)\.push_back|\bchecks\.emplace_back|\bwarn)\s*\(\s*\{?\s*"([a-z0-9-]+)")re");
  const std::regex of_field(R"re(out\.push_back\(\s*\{\s*"([a-z0-9-]+)")re");
  for (const auto& file : std::filesystem::recursive_directory_iterator(AGONIC_SOURCE_DIR "/model")) {
    if (file.path().extension() != ".cpp" || file.path().string().find("/model/checks/") != std::string::npos) continue;
    const std::string text = source_file(std::filesystem::relative(file.path(), AGONIC_SOURCE_DIR).string());
    const auto& pattern = file.path().string().ends_with("/field/declination.cpp") ? of_field : said;
    for (std::sregex_iterator it(text.begin(), text.end(), pattern), end; it != end; ++it) out.insert((*it)[1].str());
  }
  return out;
}

TEST(Catalogue, HoldsEveryCodeOfTheSourcesAndNoOther) {
  const Codes sources = in_the_sources();
  EXPECT_GT(sources.size(), 100u);
  for (const std::string& code : sources) EXPECT_NE(find(code), nullptr) << code << " has no page";
  for (const Entry& entry : catalogue()) {
    // What HTTP alone refuses stands in the service's error table, and tests/server/checks_test.cpp compares with that.
    if (entry.where == at(Where::service)) continue;
    EXPECT_TRUE(sources.contains(entry.code)) << entry.code << " is raised nowhere";
  }
}

// Of those that are told in words: each with what raises it and what does not.

Codes findings(const instrument::Record& record, std::chrono::sys_days day) {
  Codes out;
  for (const auto& finding : instrument::service_findings(record, day)) out.emplace(finding.code);
  return out;
}

TEST(Catalogue, FindingsOfRecordsAreRaisedByRecords) {
  using namespace std::chrono;
  const sys_days day = year(2026) / 5 / 1;
  const auto with = [&](double constant, int from_year, bool known = true, std::optional<double> set = 13.5) {
    instrument::Record record;
    instrument::Version<instrument::IndexError> error;
    error.what.known = known;
    error.what.curve.a = constant;
    error.what.span.from = sys_days(year(from_year) / 4 / 1);
    record.index_errors.push_back(error);
    instrument::Version<instrument::CircleSet> setting;
    setting.what.declination_deg = set;
    setting.what.span.from = sys_days(year(2026) / 1 / 1);
    record.settings.push_back(setting);
    return findings(record, day);
  };
  EXPECT_EQ(with(0.5, 2025), Codes());
  EXPECT_EQ(findings({}, day), Codes{"no-record"});
  EXPECT_EQ(with(0.5, 2025, false), Codes{"not-known"});
  EXPECT_EQ(with(13.5, 2025), Codes{"left-set"});
  EXPECT_EQ(with(3.5, 2025), Codes{"large-index-error"});
  EXPECT_EQ(with(2.5, 2025), Codes());
  EXPECT_EQ(with(0.5, 2023), Codes{"stale-fit"});
  EXPECT_EQ(with(0.5, 2025, true, std::nullopt), Codes{"setting-unknown"});
}

// The demo day with its D column changed.
Codes day_with(const std::function<std::string(double)>& written) {
  std::istringstream in(source_file("tests/data/observatory-day.iaga"));
  std::string out;
  for (std::string line; std::getline(in, line); out += line + '\n')
    if (line.front() == '2') line.replace(40, 10, written(std::stod(line.substr(40, 10))));
  return said_of_document(desk::Job::swing, {out, "time=2026-06-15T07:40Z"});
}
std::string in_ten(double value) {
  std::string text = format_fixed(value, 2);
  return std::string(text.size() < 10 ? 10 - text.size() : 0, ' ') + text;
}

TEST(Catalogue, FilesOfObservatoriesAreHeldAgainstTheModel) {
  EXPECT_TRUE(day_with([](double d) { return in_ten(d > 88000 ? d : d / 60); }).contains("file-against-model"));
  EXPECT_FALSE(day_with(in_ten).contains("file-against-model"));
  int line = 0;
  EXPECT_TRUE(day_with([&](double d) { return ++line == 9 ? "    broken" : in_ten(d); }).contains("lines-left-out"));
  EXPECT_FALSE(day_with(in_ten).contains("lines-left-out"));
}

TEST(Catalogue, AnUndefinedDeclinationIsWarnedOf) {
  field::FieldAnswer answer = *field::field_answer(models(), "auto", {46, 8, 0, 2026.5});
  const auto said_of = [](const field::FieldAnswer& a) {
    Codes out;
    for (const Warning& warning : field::coded_warnings(a)) out.emplace(warning.code);
    return out;
  };
  EXPECT_FALSE(said_of(answer).contains("declination-undefined"));
  answer.elements.horizontal_nt = 0;
  EXPECT_TRUE(said_of(answer).contains("declination-undefined"));
}

TEST(Catalogue, EveryExampleInWordsHasATestOfItsOwn) {
  const Codes tested{"no-record",         "not-known",          "left-set",       "large-index-error",     "stale-fit",
                     "setting-unknown",   "file-against-model", "lines-left-out", "declination-undefined",
                     "declination-jumps",  // tests/model/route
                     "network-entangled",  // tests/model/survey/least_squares_test.cpp
                     "clock-hour"};        // tests/model/sightings/report_test.cpp
  for (const Entry& entry : catalogue())
    // Those of a review and of the service are run in tests/model/review and tests/server.
    if (entry.example.in_words && entry.example.door != Where::service && entry.example.door != Where::review) {
      EXPECT_TRUE(tested.contains(entry.code)) << entry.code;
    }
}

}  // namespace
}  // namespace agonic::checks
