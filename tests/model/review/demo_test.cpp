// The invented data set of thirty years against the table in tests/data/README.md.
#include <fstream>
#include <regex>
#include <sstream>

#include "tests/model/review/review_run.hpp"

namespace agonic::review {
namespace {

std::string read_file(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  EXPECT_TRUE(file) << path;
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

// "45-60", "11, 13, 16"
std::set<std::uint64_t> rows_in(const std::string& words) {
  std::set<std::uint64_t> rows;
  const std::regex span(R"((\d+)(?:-(\d+))?)");
  for (std::sregex_iterator at(words.begin(), words.end(), span), end; at != end; ++at) {
    const std::uint64_t first = std::stoull((*at)[1]), last = (*at)[2].matched ? std::stoull((*at)[2]) : first;
    for (std::uint64_t row = first; row <= last; ++row) rows.insert(row);
  }
  return rows;
}

TEST(ThirtyYears, EveryPlantedFaultIsToldWithItsRowsAndNothingElseIsAsked) {
  const Report report = review_of(read_file(AGONIC_SOURCE_DIR "/tests/data/thirty-years.csv"));
  EXPECT_EQ(report.notebook.entries.size(), 110U);
  std::istringstream readme(read_file(AGONIC_SOURCE_DIR "/tests/data/README.md"));
  const std::regex row(R"(\| ([0-9, -]+) \| .* \| `([a-z-]+)` \|)");
  std::set<std::string> told;
  bool here = false;
  for (std::string line; std::getline(readme, line);) {
    if (line.starts_with("## ")) here = line.starts_with("## thirty-years.csv");
    std::smatch cells;
    if (!here || !std::regex_match(line, cells, row)) continue;
    const auto finding = std::find_if(report.findings.begin(), report.findings.end(),
                                      [&](const Finding& f) { return std::string(info(f.check).code) == cells[2]; });
    ASSERT_NE(finding, report.findings.end()) << cells[2] << " of: " << codes_of(report);
    EXPECT_EQ(rows_of(report, *finding), rows_in(cells[1])) << cells[2];
    told.insert(cells[2]);
  }
  EXPECT_EQ(told.size(), 7U);
  for (const Finding& finding : report.findings) {
    if (finding.question.empty()) continue;
    EXPECT_TRUE(told.contains(std::string(info(finding.check).code)))
        << info(finding.check).code << ": " << finding.what;
  }
}

}  // namespace
}  // namespace agonic::review
