// The tables of README.md against what the program makes of the files: every row refused, marked or passed as told.
#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>
#include <sstream>
#include <string>

#include "model/exchange/batch.hpp"
#include "model/field/catalogue.hpp"

namespace agonic {
namespace {

const std::string kFolder = AGONIC_SOURCE_DIR "/tests/data/";

std::string read_file(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  EXPECT_TRUE(file) << path;
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

/// What a row comes to: its status, and the codes that speak.
struct Fate {
  std::string id;
  std::string status = "corrected";
  std::set<std::string> codes;
};
using Fates = std::map<std::size_t, Fate>;

/// The table under the heading `## FILE`. In backquotes stand `unchanged` or codes; "refused" begins the refusals.
Fates promised(const std::string& file) {
  Fates fates;
  std::istringstream readme(read_file(kFolder + "README.md"));
  const std::regex row(R"(\| (\d+) \| (\w+) \| (.*) \|)"), quoted("`([^`]*)`");
  bool here = false;
  for (std::string line; std::getline(readme, line);) {
    if (line.starts_with("## ")) here = line.starts_with("## " + file);
    std::smatch cells;
    if (!here || !std::regex_match(line, cells, row)) continue;
    Fate fate{.id = cells[2], .codes = {}};
    const std::string told = cells[3];
    if (told.starts_with("refused")) fate.status = "refused";
    for (std::sregex_iterator code(told.begin(), told.end(), quoted), end; code != end; ++code) {
      if ((*code)[1] == "unchanged") {
        fate.status = "unchanged";
      } else if ((*code)[1] != "unknown") {  // the cell's own word, no code
        fate.codes.insert((*code)[1]);
      }
    }
    EXPECT_TRUE(fates.emplace(std::stoul(cells[1]), fate).second) << "told twice: " << line;
  }
  return fates;
}

class TextSink : public exchange::ByteSink {
 public:
  void write(std::string_view bytes) override { text += bytes; }
  std::string text;
};

const field::Catalogue& catalogue() {
  static const field::Catalogue models(field::built_in_texts());
  return models;
}

/// What the program makes of it; told as NDJSON, which is easily read back.
Fates delivered(const std::string& file, exchange::Format format) {
  TextSink sink;
  exchange::BatchOptions options;
  options.in = format;
  options.out = exchange::Format::ndjson;
  options.today = std::chrono::year(2026) / 11 / 25;
  auto batch = exchange::BatchCorrector::create(catalogue(), options, sink);
  if (!batch) {
    ADD_FAILURE() << batch.problem().text();
    return {};
  }
  if (auto problem = (*batch)->feed(read_file(kFolder + file))) ADD_FAILURE() << problem->text();
  if (auto summary = (*batch)->finish(); !summary) ADD_FAILURE() << summary.problem().text();

  Fates fates;
  std::istringstream rows(sink.text);
  for (std::string line; std::getline(rows, line);) {
    const auto row = nlohmann::json::parse(line);
    Fate fate{.id = row.at("id"), .status = row.at("status"), .codes = row.at("checks")};
    fates.emplace(fates.size() + 1, std::move(fate));
  }
  return fates;
}

void expect_as_promised(const std::string& file, exchange::Format format, std::size_t rows, std::size_t told) {
  const Fates readme = promised(file);
  const Fates result = delivered(file, format);
  EXPECT_EQ(readme.size(), told);
  ASSERT_EQ(result.size(), rows);
  for (const auto& [row, fate] : result) {
    const auto expected = readme.find(row);
    if (expected == readme.end()) {
      EXPECT_EQ(fate.status, "corrected") << file << " " << fate.id;
      EXPECT_TRUE(fate.codes.empty()) << file << " " << fate.id << ": " << *fate.codes.begin();
    } else {
      EXPECT_EQ(fate.id, expected->second.id) << file << " row " << row;
      EXPECT_EQ(fate.status, expected->second.status) << file << " " << fate.id;
      EXPECT_EQ(fate.codes, expected->second.codes) << file << " " << fate.id;
    }
  }
}

TEST(Demo, FirstMinute) { expect_as_promised("notes.csv", exchange::Format::csv, 14, 7); }
TEST(Demo, Season2009) { expect_as_promised("season-2009.csv", exchange::Format::csv, 26, 15); }
TEST(Demo, Season2016) { expect_as_promised("season-2016.csv", exchange::Format::csv, 25, 18); }
TEST(Demo, Season2026) { expect_as_promised("season-2026.ndjson", exchange::Format::ndjson, 24, 19); }

}  // namespace
}  // namespace agonic
