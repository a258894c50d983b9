// What a record takes and refuses, and what of it goes through JSON and back.
#include "model/instrument/record.hpp"

#include <cmath>
#include <random>

#include "model/instrument/dump.hpp"
#include "model/instrument/record_json.hpp"
#include "tests/model/instrument/record_fixture.hpp"

namespace agonic::instrument {
namespace {

constexpr std::string_view kWhy = R"(,"why":"found on the pier"})";

Result<Proposal> proposal(ChangeKind kind, std::string json) {
  json.pop_back();
  return read_proposal(kind, json + std::string(kWhy), false, day(2026, 11, 25));
}
std::string refused_field(ChangeKind kind, const std::string& json) {
  const auto read = proposal(kind, json);
  return read ? "taken: " + json : read.problem().field;
}

TEST(RecordJson, ReadsWhatAPersonWouldSend) {
  const auto error = proposal(
      ChangeKind::index_error,
      R"({"error_deg":1.25,"sigma_deg":0.2,"from":"2026-03-01","until":"2026-12-31","how":"known line","sightings":12})");
  ASSERT_TRUE(error) << error.problem().text();
  const auto& what = std::get<IndexError>(error->change);
  EXPECT_EQ(what.curve.a, 1.25);
  EXPECT_DOUBLE_EQ(what.constant_sigma_deg(), 0.2);
  EXPECT_EQ(what.span.from, day(2026, 3, 1));
  EXPECT_EQ(what.span.until, day(2026, 12, 31));
  EXPECT_EQ(what.sightings, 12);
  EXPECT_EQ(error->why, "found on the pier");
  const auto set = [](const std::string& value) {
    const auto read = proposal(ChangeKind::setting, R"({"set_declination":)" + value + R"(,"from":"today"})");
    EXPECT_TRUE(read) << value;
    EXPECT_EQ(std::get<CircleSet>(read->change).span.from, day(2026, 11, 25));
    return std::get<CircleSet>(read->change).declination_deg;
  };
  EXPECT_EQ(set("-13.7"), -13.7);
  EXPECT_EQ(set("\"13.7W\""), -13.7);
  EXPECT_EQ(set("\"0\""), 0);
  EXPECT_EQ(set("null"), std::nullopt);
  EXPECT_EQ(set("\"unknown\""), std::nullopt);
}

TEST(RecordJson, RefusesByTheNameOfTheMember) {
  const auto error = [](const std::string& members) {
    return refused_field(ChangeKind::index_error, R"({"from":"2026-03-01",)" + members + "}");
  };
  EXPECT_EQ(error(R"("sigma_deg":1)"), "error_deg");
  EXPECT_EQ(error(R"("error_deg":"one","sigma_deg":1)"), "error_deg");
  EXPECT_EQ(error(R"("error_deg":[1,2,3],"sigma_deg":1)"), "error_deg");
  EXPECT_EQ(error(R"("error_deg":181,"sigma_deg":1)"), "error_deg");
  EXPECT_EQ(error(R"("error_deg":91,"sigma_deg":1,"kind":"dip")"), "error_deg");
  EXPECT_EQ(error(R"("error_deg":[0,40,0,0,0],"sigma_deg":1)"), "error_deg");  // two azimuths would read alike
  EXPECT_EQ(error(R"("error_deg":1e400,"sigma_deg":1)"), "");                  // no JSON number
  EXPECT_EQ(error(R"("error_deg":1)"), "sigma_deg");
  EXPECT_EQ(error(R"("error_deg":1,"sigma_deg":-1)"), "sigma_deg");
  EXPECT_EQ(error(R"("error_deg":1,"sigma_deg":53)"), "sigma_deg");
  EXPECT_EQ(error(R"("error_deg":1,"sigma_deg":1,"kind":"rake")"), "kind");
  EXPECT_EQ(error(R"("error_deg":1,"sigma_deg":1,"until":"2026-02-28")"), "until");
  EXPECT_EQ(error(R"("error_deg":1,"sigma_deg":1,"until":"2026-04")"), "until");
  EXPECT_EQ(error(R"("error_deg":1,"sigma_deg":1,"sightings":0)"), "sightings");
  EXPECT_EQ(error(R"("error_deg":1,"sigma_deg":1,"sightings":1.5)"), "sightings");
  EXPECT_EQ(error(R"("error_deg":1,"sigma_deg":1,"sigma":1)"), "sigma");
  EXPECT_EQ(error(R"("error_deg":1,"error_deg":2,"sigma_deg":1)"), "error_deg");
  EXPECT_EQ(error(R"("error_deg":1,"covariance_deg2":[1,2])"), "covariance_deg2");
  // A correlation beyond 1 is no covariance.
  EXPECT_EQ(error(R"("error_deg":1,"covariance_deg2":[1,2,0,0,0,1,0,0,0,0,0,0,0,0,0])"), "covariance_deg2");
  EXPECT_EQ(error(R"("error_deg":1,"covariance_deg2":[0,1,0,0,0,0,0,0,0,0,0,0,0,0,0])"), "covariance_deg2");
  EXPECT_EQ(refused_field(ChangeKind::description, R"({"graduation_deg":0})"), "graduation_deg");
  EXPECT_EQ(refused_field(ChangeKind::description, R"({"graduation_deg":10.5})"), "graduation_deg");
  EXPECT_EQ(refused_field(ChangeKind::description, R"({"circle":"fixed"})"), "circle");
  EXPECT_EQ(refused_field(ChangeKind::description, R"({"turnable":"yes"})"), "turnable");
  EXPECT_EQ(refused_field(ChangeKind::description, R"({"hinge_graduation_deg":-1})"), "hinge_graduation_deg");
  EXPECT_EQ(refused_field(ChangeKind::description, R"({"note":"a\u0000b"})"), "note");
  EXPECT_EQ(refused_field(ChangeKind::setting, R"({"set_declination":"13.7","from":"2026-03-01","x":1})"), "x");
  EXPECT_EQ(refused_field(ChangeKind::setting, R"({"set_declination":0,"note":"n"})"), "from");
  const auto unexplained = read_proposal(ChangeKind::description, R"({"why":" "})", false, {});
  ASSERT_FALSE(unexplained);
  EXPECT_EQ(unexplained.problem().field, "why");
  EXPECT_FALSE(read_proposal(ChangeKind::description, std::string(100000, '['), false, {}));
  EXPECT_FALSE(read_proposal(ChangeKind::description, "[]", false, {}));
}

TEST(RecordIds, ArePlainTextWithoutASlash) {
  for (const char* good : {"BR-07", "7", "Ü 7", "a'; DROP TABLE change; --", "%2e"})
    EXPECT_FALSE(check_id(good)) << good;
  for (const std::string& bad : {std::string(), std::string(" "), std::string("a/b"), std::string("."),
                                 std::string(".."), std::string(" a"), std::string("a\n"), std::string("a\0b", 3),
                                 std::string("\xC3"), std::string("\xED\xA0\x80"), std::string(65, 'a')})
    EXPECT_TRUE(check_id(bad)) << bad;
}

TEST_F(RecordTest, ACircleThatCannotBeTurnedTakesNoSetting) {
  Description fixed;
  fixed.circle.turnable = false;
  change(fixed);
  EXPECT_TRUE(add(record, {3, "a", "b", "c"}, CircleSet{-13.0, {}}));
  EXPECT_FALSE(add(record, {3, "a", "b", "c"}, CircleSet{0.0, {}}));
}

TEST_F(RecordTest, ADumpComesBackAsItWas) {
  error(1.0 / 3, {day(2024, 1, 1), day(2025, 12, 31)});
  error(-0.1, {day(2026, 1, 1), {}}, IndexKind::dip, 0.3);
  IndexError curve;
  curve.curve = {0.1, -0.2, 0.3, 0.05, -0.06};
  curve.covariance.upper = {0.04, 0.001, 0, 0, 0, 0.05, 0, 0, 0, 0.06, 0, 0, 0.01, 0, 0.02};
  curve.span = {day(2026, 1, 1), {}};
  curve.how = "twelve lines \"around\"";
  curve.sightings = 24;
  change(curve);
  curve.known = false;
  change(curve);
  change(CircleSet{-13.5, {day(2026, 1, 15), {}}});
  change(CircleSet{std::nullopt, {day(2026, 5, 15), {}}});
  const std::shared_ptr<const Record> shared = std::make_shared<Record>(record);
  const std::string text = dump_json({&shared, 1}, "2026-11-25T00:00:00Z");
  const auto back = read_dump(text);
  ASSERT_TRUE(back) << back.problem().text();
  ASSERT_TRUE(back->refused.empty()) << back->refused[0].text();
  ASSERT_EQ(back->records.size(), 1u);
  const std::shared_ptr<const Record> again = std::make_shared<Record>(back->records[0]);
  EXPECT_EQ(dump_json({&again, 1}, "2026-11-25T00:00:00Z"), text);
  EXPECT_EQ(again->index_errors[2].what.covariance.upper, curve.covariance.upper);
  EXPECT_EQ(again->version, 7);
  const auto registry = registry_of_dump(text);
  ASSERT_TRUE(registry);
  EXPECT_EQ((*registry)->find("BR-07").value()->index_errors[0].what.curve.a, 1.0 / 3);
  EXPECT_EQ((*registry)->find("BR-08").problem().code, Code::instrument_unknown);
}

TEST(RecordJson, AnyStatementComesBackAsItWas) {
  std::mt19937 random(20261125);
  std::uniform_real_distribution<double> small(-0.9, 0.9);
  for (int i = 0; i < 2000; ++i) {
    IndexError error;
    error.kind = static_cast<IndexKind>(i % 3);
    error.curve.a = 10 * small(random);
    error.covariance = IndexCovariance::constant(std::abs(small(random)));
    if (error.kind == IndexKind::azimuth && i % 2 == 0) {
      error.curve = {small(random), small(random), small(random), small(random), small(random)};
      for (std::size_t k = 0; k < 5; ++k) error.covariance.upper[IndexCovariance::at(k, k)] = std::abs(small(random));
    }
    error.span.from = day(2026, 1, 1) + std::chrono::days(i);
    if (i % 5 == 0) error.span.until = error.span.from + std::chrono::days(i);
    const std::string text = statement_json(error);
    const auto back = read_statement(ChangeKind::index_error, text);
    ASSERT_TRUE(back) << text << back.problem().text();
    EXPECT_EQ(statement_json(*back), text);
    EXPECT_EQ(std::get<IndexError>(*back).covariance.upper, error.covariance.upper) << text;
  }
}

TEST(Dump, ABadRecordIsRefusedByItself) {
  const std::string change = R"({"version":1,"change":"description","who":"a","when":"b","why":"c"})";
  const std::string good = R"({"id":"A","changes":[)" + change + "]}";
  const auto dump = [](const std::string& records) {
    return read_dump(R"({"agonic_instruments":1,"instruments":[)" + records + "]}");
  };
  const auto read =
      dump(good + R"(,{"id":"B","changes":[]},{"id":"C","changes":[)" + change + "," + change + R"(]},7,)" + good +
           R"(,{"id":"D","changes":[{"version":1,"change":"setting","set_declination":0,)" +
           R"("from":"2026-01-01","who":"a","when":"b","why":"c"}]})");
  ASSERT_TRUE(read);
  EXPECT_EQ(read->records.size(), 1u);
  ASSERT_EQ(read->refused.size(), 5u);
  EXPECT_EQ(read->refused[0].field, "instrument B");
  EXPECT_NE(read->refused[1].message.find("version 2 is missing"), std::string::npos) << read->refused[1].text();
  EXPECT_NE(read->refused[3].message.find("twice"), std::string::npos);
  EXPECT_NE(read->refused[4].message.find("begins with a description"), std::string::npos);
  for (const char* none :
       {"", "{}", "[]", R"({"agonic_instruments":2,"instruments":[]})", R"({"agonic_instruments":1,"instruments":{}})"})
    EXPECT_FALSE(read_dump(none)) << none;
}

}  // namespace
}  // namespace agonic::instrument
