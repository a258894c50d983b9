// Reading coefficients: what is right comes through exactly, what is damaged stops with file and line.

#include <gtest/gtest.h>

#include "coefficients/built_in.hpp"
#include "field_fixture.hpp"
#include "layouts.hpp"
#include "model/field/lines.hpp"
#include "model/field/read_own.hpp"
#include "model/field/read_publisher.hpp"
#include "model/field/sha256.hpp"

namespace agonic::field {
namespace {

CoefficientText own(const std::string& id) {
  return {id + "/table.txt", source_file("coefficients/" + id + "/table.txt"), id + "/about.txt",
          source_file("coefficients/" + id + "/about.txt")};
}

// The text of the refusal, or "accepted".
template <class Read>
std::string refusal(const Read& read) {
  try {
    read();
  } catch (const BadCoefficients& bad) {
    return bad.what();
  }
  return "accepted";
}

std::string own_refusal(const CoefficientText& text) {
  return refusal([&] { read_own(text); });
}

std::string publisher_refusal(const std::string& name, const std::string& table) {
  return refusal([&] { read_publisher({name, table, "", ""}); });
}

// The refusal must name the file and the line and say what is wrong.
void expect_names(const std::string& refusal, const std::string& file, int line, const std::string& what) {
  EXPECT_TRUE(refusal.starts_with(line == 0 ? file + ":" : file + ":" + std::to_string(line) + ":")) << refusal;
  EXPECT_NE(refusal.find(what), std::string::npos) << refusal;
}

// Changes the table and lets the sidecar agree with it, so that only the table's own fault is left.
CoefficientText with_table(const std::string& id, std::string_view from, std::string_view to) {
  CoefficientText text = own(id);
  const std::string before = sha256(text.table);
  text.table = replaced(text.table, from, to);
  text.sidecar = replaced(text.sidecar, before, sha256(text.table));
  return text;
}

CoefficientText with_sidecar(const std::string& id, std::string_view from, std::string_view to) {
  CoefficientText text = own(id);
  text.sidecar = replaced(text.sidecar, from, to);
  return text;
}

TEST(Sha256, GivesThePublishedValueForAbc) {
  // FIPS 180-4, the example for a message of one block.
  EXPECT_EQ(sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST(BuiltInTexts, AreTheFilesByteForByte) {
  const auto texts = built_in_texts();
  ASSERT_EQ(texts.size(), 5u);
  for (std::size_t i = 0; i < texts.size(); ++i) {
    EXPECT_EQ(texts[i].table, own(all_ids()[i]).table);
    EXPECT_EQ(texts[i].sidecar, own(all_ids()[i]).sidecar);
  }
}

TEST(OwnLayout, CarriesTheMetadata) {
  const CoefficientSet& gufm1 = built_in("gufm1");
  EXPECT_EQ(gufm1.degree, 14);
  EXPECT_EQ(gufm1.times.size(), 167u);
  EXPECT_EQ(gufm1.sets.size(), 163u);
  EXPECT_EQ(gufm1.valid_from, 1590);
  EXPECT_EQ(gufm1.valid_to, 1990);
  EXPECT_EQ(gufm1.behaviour, TimeBehaviour::spline);
  EXPECT_EQ(gufm1.declination_error.b_deg_nt, 0);
  const CoefficientSet& wmm = built_in("wmm2025");
  EXPECT_EQ(wmm.doi, "10.25921/aqfd-sd83");
  EXPECT_EQ(wmm.declination_error.a_deg, 0.26);
  EXPECT_EQ(wmm.declination_error.b_deg_nt, 5417);
  EXPECT_EQ(wmm.radius_km, 6371.2);
  EXPECT_EQ(wmm.sets[0][value_index(1, 1) + 1], 4545.4);  // h11 and its change, as published
  EXPECT_EQ(wmm.sets[1][value_index(1, 1) + 1], -21.5);
  EXPECT_EQ(built_in("wmmhr2025").values_per_set(), 17955u);
  EXPECT_EQ(built_in("igrf14").sets.size(), 27u);
}

TEST(OwnLayout, RefusesAFlippedDigitByItsChecksum) {
  CoefficientText text = own("wmm2025");
  text.table = replaced(text.table, "-29351.8", "-29351.9");
  expect_names(own_refusal(text), "wmm2025/about.txt", 16, "SHA-256");
}

TEST(OwnLayout, RefusesDamagedTables) {
  const std::string file = "wmm2025/table.txt";
  expect_names(own_refusal(with_table("wmm2025", "2 0 -2556.6 -11.6\n", "")), file, 6, "the row 2 0 is expected");
  expect_names(own_refusal(with_table("wmm2025", "2 0 -2556.6 -11.6\n", "2 0 -2556.6 -11.6\n2 0 -2556.6 -11.6\n")),
               file, 7, "repeated");
  expect_names(own_refusal(with_table("wmm2025", "end\n", "end\nmore\n")), file, 172, "after the line 'end'");
  expect_names(own_refusal(with_table("wmm2025", "end\n", "")), file, 170, "'end' is expected");
  expect_names(own_refusal(with_table("wmm2025", "end\n", "13 0 1 1\nend\n")), file, 171, "'end' is expected");
  expect_names(own_refusal(with_table("wmm2025", "-2556.6 -11.6", "-2556.6")), file, 6, "line ends");
  expect_names(own_refusal(with_table("wmm2025", "-2556.6 -11.6", "-2556.6 -11.6 1")), file, 6, "nothing more");
  expect_names(own_refusal(with_table("wmm2025", "-2556.6 -11.6", "-2556.6 x11.6")), file, 6, "x11.6");
  expect_names(own_refusal(with_table("wmm2025", "-2556.6 -11.6", "-2556.6 nan")), file, 6, "nan");
  expect_names(own_refusal(with_table("wmm2025", "-2556.6 -11.6", "-2556.6 inf")), file, 6, "inf");
  expect_names(own_refusal(with_table("wmm2025", "-2556.6 -11.6", "-2556600000 -11.6")), file, 6, "1e6");
  expect_names(own_refusal(with_table("wmm2025", "times 2025.0", "times 2025.0 2026.0")), file, 2, "one epoch");
  expect_names(own_refusal(with_table("wmm2025", "times 2025.0", "time 2025.0")), file, 2, "times");
  expect_names(own_refusal(with_table("igrf14", "1905.0 1910.0", "1910.0 1905.0")), "igrf14/table.txt", 2, "ascend");
  expect_names(own_refusal(with_table("igrf14", "2025.0 2030.0", "2025.0")), "igrf14/table.txt", 2, "cover");
  CoefficientText empty = own("wmm2025");
  empty.table.clear();
  expect_names(own_refusal(empty), file, 0, "ends before");
  CoefficientText cut = own("gufm1");
  cut.table.resize(cut.table.size() / 2);
  EXPECT_NE(own_refusal(cut), "accepted");
}

TEST(OwnLayout, RefusesDamagedSidecars) {
  const std::string file = "wmm2025/about.txt";
  expect_names(own_refusal(with_sidecar("wmm2025", "doi: ", "colour: ")), file, 4, "unknown key 'colour'");
  expect_names(own_refusal(with_sidecar("wmm2025", "doi: 10.25921/aqfd-sd83\n", "")), file, 15, "'doi' is missing");
  expect_names(own_refusal(with_sidecar("wmm2025", "degree: 12", "degree: 12\ndegree: 12")), file, 11, "second time");
  expect_names(own_refusal(with_sidecar("wmm2025", "degree: 12", "degree: 13")), file, 15, "rows");
  expect_names(own_refusal(with_sidecar("wmm2025", "degree: 12", "degree: 12.5")), file, 10, "whole");
  expect_names(own_refusal(with_sidecar("wmm2025", "degree: 12", "degree: 100000")), file, 10, "degree");
  expect_names(own_refusal(with_sidecar("wmm2025", "schmidt-semi", "full")), file, 11, "schmidt-semi");
  expect_names(own_refusal(with_sidecar("wmm2025", "behaviour: linear", "behaviour: wavy")), file, 6, "wavy");
  expect_names(own_refusal(with_sidecar("wmm2025", "valid_to: 2030.0", "valid_to: 2020.0")), file, 8, "before");
  expect_names(own_refusal(with_sidecar("wmm2025", "radius_km: 6371.2", "radius_km: 6371200")), file, 9, "radius_km");
  expect_names(own_refusal(with_sidecar("wmm2025", "id: wmm2025", "id: WMM 2025")), file, 1, "lower-case");
  expect_names(own_refusal(with_sidecar("wmm2025", "title: World", "World")), file, 2, "key: value");
  expect_names(own_refusal(with_sidecar("wmm2025", "declination_error_a_deg: 0.26\n", "")), file, 15, "missing");
}

TEST(WmmLayout, GivesTheSameModelAsOurOwn) {
  for (const std::string id : {"wmm2025", "wmmhr2025", "wmm2020"}) {
    const CoefficientSet& model = built_in(id);
    const CoefficientSet read = read_publisher({"X.COF", wmm_layout(model, "WMM-2031", model.epoch), "", ""});
    EXPECT_EQ(read.id, "wmm2031");
    EXPECT_EQ(read.degree, model.degree);
    EXPECT_EQ(read.sets, model.sets);
    EXPECT_EQ(read.epoch, model.epoch);
    EXPECT_EQ(read.valid_from, model.epoch);
    EXPECT_EQ(read.valid_to, model.epoch + 5);
    EXPECT_EQ(read.prepared.sets, model.prepared.sets);
  }
}

TEST(WmmLayout, RefusesDamagedFiles) {
  const std::string good = wmm_layout(built_in("wmm2020"), "WMM-2031", 2031);
  const std::string nines(48, '9');
  const auto changed = [&](std::string_view from, std::string_view to) {
    return publisher_refusal("dir/X.COF", replaced(good, from, to));
  };
  EXPECT_EQ(publisher_refusal("dir/X.COF", good), "accepted");
  expect_names(changed("  2  0  -2500  0.0  -11.5  0.0\r\n", ""), "dir/X.COF", 4, "the row 2 0");
  expect_names(changed("  2  0  -2500  0.0", "  2  0  -2500  7.0"), "dir/X.COF", 4, "h of order 0");
  expect_names(changed("  2  0  -2500  0.0", "  2  0  -2500"), "dir/X.COF", 4, "line ends");
  expect_names(changed("  2  0  -2500  0.0", "  2  0  -2500 0.0 0.0"), "dir/X.COF", 4, "nothing more");
  expect_names(changed(nines + "\r\n" + nines, ""), "dir/X.COF", 92, "9s");
  expect_names(changed("  12  12  ", nines + "\r\n  12  12  "), "dir/X.COF", 91, "12 12 is missing");
  EXPECT_NE(publisher_refusal("X.COF", good + "13 0 1 0 1 0\n").find("after the line of 9s"), std::string::npos);
  expect_names(changed("WMM-2031", ""), "dir/X.COF", 1, "release date");
  expect_names(changed("01/01/2000\r\n", "01/01/2000 x\r\n"), "dir/X.COF", 1, "nothing more");
  expect_names(publisher_refusal("X.COF", "2030.0\n"), "X.COF", 1, "neither");
  expect_names(changed("2031", "20310000"), "dir/X.COF", 1, "epoch");
  expect_names(publisher_refusal("X.COF", ""), "X.COF", 0, "no coefficients");
}

TEST(ShcLayout, GivesTheSameModelAsOurOwn) {
  const CoefficientSet& model = built_in("igrf14");
  const CoefficientSet read = read_publisher({"some/dir/IGRF_31.shc", shc_layout(model), "", ""});
  EXPECT_EQ(read.id, "igrf31");
  EXPECT_EQ(read.sets, model.sets);
  EXPECT_EQ(read.times, model.times);
  EXPECT_EQ(read.valid_from, 1900);
  EXPECT_EQ(read.valid_to, 2030);
  EXPECT_EQ(read.behaviour, TimeBehaviour::piecewise);
  EXPECT_EQ(read.prepared.sets, model.prepared.sets);
}

TEST(ShcLayout, TakesYearsOfValidityAndASingleTime) {
  const CoefficientSet span =
      read_publisher({"a.shc", replaced(shc_layout(built_in("igrf14")), " 27 2 1\n", " 27 2 1 1950 2020\n"), "", ""});
  EXPECT_EQ(span.valid_from, 1950);
  EXPECT_EQ(span.valid_to, 2020);
  const CoefficientSet one =
      read_publisher({"a.shc", "1 1 1 1 1 2000 2010\n2005.0\n1 0 -30000\n1 1 -2000\n1 -1 5000\n", "", ""});
  EXPECT_EQ(one.weights(2009).count, 1u);
  EXPECT_EQ(one.valid_from, 2000);
  EXPECT_EQ(one.sets[0], (std::vector<double>{-30000, -2000, 5000}));
}

TEST(ShcLayout, RefusesDamagedFiles) {
  const std::string good = shc_layout(built_in("igrf14"));
  const auto changed = [&](std::string_view from, std::string_view to) {
    return publisher_refusal("a.shc", replaced(good, from, to));
  };
  EXPECT_EQ(publisher_refusal("a.shc", good), "accepted");
  expect_names(changed(" 27 2 1\n", " 27 4 1\n"), "a.shc", 3, "order 4");
  expect_names(changed(" 1 13 27", " 2 13 27"), "a.shc", 3, "lowest degree");
  expect_names(changed(" 1 13 27", " 1 13 26"), "a.shc", 4, "26 epochs");
  expect_names(changed(" 1 13 27", " 1 12 27"), "a.shc", 173, "after the last row");
  expect_names(changed(" 1 13 27", " 1 14 27"), "a.shc", 199, "the row 14 0");
  expect_names(changed(" 27 2 1\n", " 27 2 1 1850 2030\n"), "a.shc", 4, "cover");
  expect_names(changed("\n1 1 ", "\n1 2 "), "a.shc", 6, "the row 1 1");
  expect_names(changed("1905 1910", "1910 1905"), "a.shc", 4, "ascend");
  expect_names(changed("-31543", "NaN"), "a.shc", 5, "NaN");
  EXPECT_NE(publisher_refusal("---.shc", good).find("id"), std::string::npos);
}

TEST(Lines, NeverCrashOnShortOrBinaryText) {
  for (const std::string& text : {std::string("\0\0\0", 3), std::string("#"), std::string("\n\n\n"), std::string("9"),
                                  std::string("2025 W"), std::string("\xff\xfe 1 2 3\n"), std::string("1 1 1 1 1")}) {
    EXPECT_NE(publisher_refusal("x", text), "accepted") << text;
  }
}

}  // namespace
}  // namespace agonic::field
