// Every published value at hand, from the text tables that name source and tolerance.

#include <gtest/gtest.h>

#include <algorithm>

#include "field_fixture.hpp"
#include "model/field/check_table.hpp"

namespace agonic::field {
namespace {

struct File {
  const char* path;
  int values;  // numbers the file holds, so that a truncated one is noticed
};

void PrintTo(const File& file, std::ostream* out) { *out << file.path; }

class PublishedValues : public testing::TestWithParam<File> {};

TEST_P(PublishedValues, AreReproduced) {
  const CheckTable table = read_check_table(GetParam().path, source_file(GetParam().path));
  const SelftestRow row = run_check(table, built_in_catalogue());
  EXPECT_EQ(row.values, GetParam().values);
  EXPECT_EQ(row.wrong, 0) << row.source << ": " << row.worst;
}

INSTANTIATE_TEST_SUITE_P(
    Tables, PublishedValues,
    testing::Values(
        File{"coefficients/wmm2025/check_values.txt", 176}, File{"coefficients/wmm2025/poles.txt", 3},
        File{"coefficients/wmm2025/dip_poles.txt", 2}, File{"coefficients/wmmhr2025/check_values.txt", 132},
        File{"coefficients/wmm2020/check_values.txt", 1400}, File{"coefficients/gufm1/check_values.txt", 224},
        File{"coefficients/igrf14/poles.txt", 10}, File{"coefficients/igrf14/dip_poles.txt", 18},
        File{"tests/reference/igrf14_dip_pole_inclination.txt", 18}, File{"tests/reference/wmm2020_example.txt", 10},
        File{"tests/reference/wmm2020_example_angles.txt", 3}, File{"tests/reference/wmm2025_example.txt", 5},
        File{"tests/reference/igrf14_observatories.txt", 17}, File{"tests/reference/igrf14_observed.txt", 12},
        File{"tests/reference/gufm1_observed.txt", 23}, File{"tests/reference/paris_declination.txt", 15},
        File{"tests/reference/london_declination.txt", 5}, File{"tests/reference/chambon_declination.txt", 2},
        File{"tests/reference/boston_declination.txt", 6}, File{"tests/reference/fort_declination.txt", 4}));

// A table with every value of one column changed must not pass: the comparison bites.
int wrong_after(const std::string& path, const std::string& column, std::string (*change)(const std::string&)) {
  CheckTable table = read_check_table(path, source_file(path));
  const auto at = std::find(table.columns.begin(), table.columns.end(), column) - table.columns.begin();
  for (auto& row : table.rows) {
    std::string& cell = row.at(static_cast<std::size_t>(at));
    if (cell != "-") cell = change(cell);
  }
  return run_check(table, built_in_catalogue()).wrong;
}

std::string turned_sign(const std::string& cell) { return cell[0] == '-' ? cell.substr(1) : "-" + cell; }

std::string next_last_digit(const std::string& cell) {
  std::string out = cell;
  out.back() = out.back() == '9' ? '8' : static_cast<char>(out.back() + 1);
  return out;
}

TEST(SignErrors, DoNotPassTheCheckValues) {
  EXPECT_EQ(wrong_after("coefficients/wmm2025/check_values.txt", "declination_deg", turned_sign), 12);
  EXPECT_EQ(wrong_after("coefficients/wmm2025/check_values.txt", "inclination_deg", turned_sign), 12);
  EXPECT_EQ(wrong_after("coefficients/wmm2025/check_values.txt", "east_change_nt_per_year", turned_sign), 12);
  EXPECT_EQ(wrong_after("tests/reference/igrf14_observatories.txt", "declination_deg", turned_sign), 17);
  EXPECT_GT(wrong_after("coefficients/wmm2020/check_values.txt", "lon", turned_sign), 1000);
}

TEST(LastDigit, IsComparedInEveryColumn) {
  const std::string path = "coefficients/wmm2025/check_values.txt";
  const CheckTable table = read_check_table(path, source_file(path));
  for (std::size_t i = 4; i < table.columns.size(); ++i) {
    const int published = table.columns[i] == "grid_variation_deg" ? 8 : 12;
    EXPECT_EQ(wrong_after(path, table.columns[i], next_last_digit), published) << table.columns[i];
  }
}

TEST(Selftest, PassesWithEveryTableCompiledIn) {
  const auto rows = selftest(built_in_catalogue());
  EXPECT_TRUE(all_passed(rows));
  int values = 0;
  for (const SelftestRow& row : rows) {
    EXPECT_TRUE(row.passed()) << row.name << ": " << row.worst;
    values += row.values;
  }
  EXPECT_EQ(values, 176 + 3 + 2 + 132 + 1400 + 224 + 10 + 18);
}

TEST(Selftest, FailsForAModelWithOneCoefficientChanged) {
  std::vector<CoefficientText> texts{{"WMM.COF", "", "", ""}};
  texts[0].table = "2025.0 WMM-2025 11/13/2024\n";
  const CoefficientSet& model = built_in("wmm2025");
  for (int n = 1; n <= 12; ++n) {
    for (int m = 0; m <= n; ++m) {
      const auto value = [&](std::size_t set, bool h) {
        if (h && m == 0) return std::string("0.0");
        return std::to_string(model.sets[set][value_index(n, m) + (h ? 1u : 0u)] + (n == 5 && m == 2 && !h ? 0.5 : 0));
      };
      texts[0].table += std::to_string(n) + " " + std::to_string(m) + " " + value(0, false) + " " + value(0, true) +
                        " " + value(1, false) + " " + value(1, true) + "\n";
    }
  }
  texts[0].table += "999999999999\n";
  const auto rows = selftest(Catalogue(texts));
  ASSERT_FALSE(rows.empty());
  EXPECT_FALSE(all_passed(rows));
  EXPECT_GT(rows[0].wrong, 20);
  EXPECT_NE(rows[0].worst.find("published"), std::string::npos);
}

TEST(Selftest, WithNoTablesIsNoPass) {
  EXPECT_FALSE(all_passed({}));
  EXPECT_FALSE(SelftestRow{}.passed());
}

TEST(CheckTable, RefusesUnknownKeysAndRowsOfAWrongLength) {
  const std::string text = source_file("tests/reference/fort_declination.txt");
  const auto line_of = [](const std::string& changed) -> std::string {
    try {
      read_check_table("table.txt", changed);
    } catch (const BadCoefficients& bad) {
      return bad.what();
    }
    return "accepted";
  };
  EXPECT_NE(line_of(replaced(text, "source: ", "sauce: ")).find("unknown key"), std::string::npos);
  EXPECT_NE(line_of(replaced(text, "-149.69 23", "-149.69")).find("cells"), std::string::npos);
  EXPECT_NE(line_of(replaced(text, "absolute 1", "roughly")).find("tolerance"), std::string::npos);
  EXPECT_NE(line_of(replaced(text, "-149.69 23", "-149.69 x")).find("number"), std::string::npos);
}

}  // namespace
}  // namespace agonic::field
