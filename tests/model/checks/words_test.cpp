// The catalogue as people and programs read it.
#include <gtest/gtest.h>

#include <sstream>

#include "model/units/prose.hpp"
#include "tests/model/checks/doors.hpp"

namespace agonic::checks {
namespace {

TEST(Words, APageFitsATerminalAndSaysAll) {
  for (const Entry& entry : catalogue()) {
    const std::string text = to_text(entry);
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(width_of(line), 92) << entry.code << ": " << line;
    for (const char* part : {"When", "Why", "What to do", "raised by", "not by"})
      EXPECT_NE(text.find(part), std::string::npos) << entry.code;
  }
  EXPECT_NE(to_text(*find("setting-stale")).find("Threshold     difference 0.5 degree (judgement)"), std::string::npos)
      << to_text(*find("setting-stale"));
}

TEST(Words, TheListHasEveryCodeOnce) {
  const std::string list = list_text();
  for (const Entry& entry : catalogue()) EXPECT_NE(list.find("  " + std::string(entry.code) + "  "), std::string::npos);
  const auto json = nlohmann::json::parse(list_json());
  EXPECT_EQ(json["checks"].size(), catalogue().size());
  for (const auto& one : json["checks"]) EXPECT_EQ(one["page"], "/checks/" + one["code"].get<std::string>());
}

TEST(Words, AMisspeltCodeHasANeighbour) {
  EXPECT_EQ(nearest("seting-stale"), "setting-stale");
  EXPECT_EQ(nearest("needle-cautoin"), "needle-caution");
  EXPECT_EQ(nearest("nonsense"), "");
  EXPECT_EQ(find("Setting-Stale"), nullptr);
}

TEST(Prose, IsWrappedByLettersSeen) {
  EXPECT_EQ(wrapped("one two three", "- ", "  ", 9), "- one two\n  three\n");
  EXPECT_EQ(wrapped("\xC2\xB0\xC2\xB0 \xC2\xB0", "", "", 4), "\xC2\xB0\xC2\xB0 \xC2\xB0\n");
  EXPECT_EQ(wrapped("averylongword b", "", "", 4), "averylongword\nb\n");
  EXPECT_EQ(edit_distance("kitten", "sitting"), 3u);  // from memory: the textbook pair
}

}  // namespace
}  // namespace agonic::checks
