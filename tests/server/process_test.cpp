// The program itself: its port file, its exit codes, its signals. Started as an operator would.
#include "tests/server/process_fixture.hpp"

namespace agonic::server {
namespace {

TEST_F(ProcessTest, ItServesFromTheModelsAndStopsOnSigterm) {
  const pid_t child = serve();
  EXPECT_TRUE(get("/readyz").starts_with("HTTP/1.1 200")) << get("/v1/models");
  const std::string answer = get("/v1/declination?lat=42.283&lon=-71.35&height_m=1000&date=2028-07-04");
  const auto document = nlohmann::json::parse(answer.substr(answer.find("\r\n\r\n") + 4));
  // The example that the contract prints for the command: 13.69 W by wmm2025.
  EXPECT_NEAR(document.at("declination_deg").get<double>(), -13.6891, 5e-5);
  EXPECT_EQ(document.at("model"), "wmm2025");
  // A reading of 100 with nothing set on the circle becomes 100 + D of its place and date.
  const std::string then = get("/v1/declination?place=42.283+-71.35&date=2025-07-04");
  const double d = nlohmann::json::parse(then.substr(then.find("\r\n\r\n") + 4)).at("declination_deg");
  char azimuth[16];
  std::snprintf(azimuth, sizeof azimuth, "%.3f", 100 + d);
  const std::string csv =
      "id,place,date,azimuth,north_reference,set_declination\nA,42.283 -71.35,2025-07-04,100,circle,0\n";
  const std::string batch =
      ask("POST /v1/correct HTTP/1.1\r\nHost: t\r\nConnection: close\r\nContent-Type: text/csv\r\n"
          "Content-Length: " +
          std::to_string(csv.size()) + "\r\n\r\n" + csv);
  EXPECT_TRUE(batch.starts_with("HTTP/1.1 200")) << batch;
  EXPECT_NE(batch.find(std::string("\nA,42.283 -71.35,2025-07-04,100,circle,0,") + azimuth + ','), std::string::npos)
      << batch;
  ::kill(child, SIGTERM);
  EXPECT_EQ(exit_code(child), 0);
  EXPECT_EQ(text_of(folder / "errors").find("42.283"), std::string::npos) << "a coordinate in the log";
}

TEST_F(ProcessTest, AnswersHoldEveryMemberThatTheDescriptionRequires) {
  serve();
  const auto description = nlohmann::json::parse(text_of(AGONIC_SOURCE_DIR "/server/openapi.json"));
  const auto& schemas = description.at("components").at("schemas");
  const auto answer = [&](const std::string& target) {
    const std::string response = get(target);
    return nlohmann::json::parse(response.substr(response.find("\r\n\r\n") + 4));
  };
  const auto declination = answer("/v1/declination?place=42.283+-71.35&date=2026-01-01");
  const auto setting = answer("/v1/setting?place=42.283+-71.35&date=2026-01-01&graduation=0.5");
  for (const auto& name : schemas.at("Declination").at("required")) {
    EXPECT_TRUE(declination.contains(name)) << name;
    EXPECT_TRUE(setting.contains(name)) << name;
  }
  for (const auto& property : schemas.at("Setting").at("allOf").at(1).at("properties").items())
    EXPECT_TRUE(setting.contains(property.key())) << property.key();
  const auto sun = answer("/v1/sun?place=42.283+-71.35&time=2026-01-01T15:00Z");
  const auto day = answer("/v1/sun?place=42.283+-71.35&time=2026-01-01&table=day");
  for (const auto& name : schemas.at("SunPosition").at("required")) {
    EXPECT_TRUE(sun.contains(name)) << name;
    EXPECT_TRUE(day.at("rows").at(0).contains(name)) << name;
  }
  for (const auto& name : schemas.at("Sun").at("allOf").at(1).at("required")) EXPECT_TRUE(sun.contains(name)) << name;
  for (const auto& name : schemas.at("SunDay").at("required")) EXPECT_TRUE(day.contains(name)) << name;
  // Every parameter that is described is known to the program, and one that is not is refused.
  const auto described = [&](const nlohmann::json& operation) {
    std::vector<std::pair<std::string, std::string>> parameters;
    for (auto parameter : operation.at("parameters")) {
      if (parameter.contains("$ref"))
        parameter = description.at(nlohmann::json::json_pointer(parameter.at("$ref").get<std::string>().substr(1)));
      if (parameter.at("in") != "query") continue;
      const auto& schema = parameter.at("schema");
      std::string value = schema.contains("enum") ? schema.at("enum").at(0) : parameter.at("example");
      for (std::size_t at = 0; (at = value.find(' ')) != std::string::npos;) value[at] = '+';
      parameters.emplace_back(parameter.at("name"), value);
    }
    return parameters;
  };
  const std::string known = "?place=42.283+-71.35&date=2026-01-01";
  for (const std::string path : {"/v1/declination", "/v1/setting"}) {
    for (const auto& [name, value] : described(description.at("paths").at(path).at("get"))) {
      const std::string query =
          known.find('?' + name + '=') == 0 || name == "date" ? known : known + '&' + name + '=' + value;
      EXPECT_NE(answer(path + query).value("type", ""), "/problems/unknown-name") << path << ' ' << name;
    }
    EXPECT_EQ(answer(path + known + "&nonsense=1").value("type", ""), "/problems/unknown-name");
  }
  for (const auto& [name, value] : described(description.at("paths").at("/v1/sun").at("get"))) {
    if (name == "place" || name == "time") continue;
    EXPECT_NE(answer("/v1/sun?place=42.283+-71.35&time=2026-01-01&table=day&" + name + '=' + value).value("type", ""),
              "/problems/unknown-name")
        << name;
  }
  const auto lines = answer("/v1/chart?date=2026-07-01&bbox=-75,40,-70,45");
  for (const auto& name : schemas.at("ChartLines").at("required")) EXPECT_TRUE(lines.contains(name)) << name;
  for (const auto& [name, value] : described(description.at("paths").at("/v1/chart").at("get"))) {
    if (name == "date" || name == "f") continue;
    EXPECT_NE(answer("/v1/chart?date=2026-07-01&" + name + '=' + value).value("type", ""), "/problems/unknown-name")
        << name;
  }
  EXPECT_EQ(answer("/v1/chart?date=2026-07-01&lat=1").value("type", ""), "/problems/unknown-name");
  EXPECT_EQ(answer("/v1/chart").value("type", ""), "/problems/date-missing");
  EXPECT_EQ(answer("/v1/sun?place=42.283+-71.35&time=2026-01-01T15:00Z&date=2026-01-01").value("type", ""),
            "/problems/unknown-name");
  const auto posted = [&](const std::string& query) {
    const std::string csv = "place,date,azimuth\n";
    return ask("POST /v1/correct?" + query +
               " HTTP/1.1\r\nHost: t\r\nConnection: close\r\nContent-Type: text/csv\r\n"
               "Content-Length: " +
               std::to_string(csv.size()) + "\r\n\r\n" + csv);
  };
  for (const auto& [name, value] : described(description.at("paths").at("/v1/correct").at("post")))
    EXPECT_EQ(posted(name + '=' + value).find("unknown-name"), std::string::npos) << posted(name + '=' + value);
  EXPECT_NE(posted("nonsense=1").find("unknown-name"), std::string::npos);
  const auto fitted = [&](const std::string& query) {
    const std::string csv = text_of(AGONIC_SOURCE_DIR "/tests/data/sightings.csv");
    return ask("POST /v1/fit?" + query +
               " HTTP/1.1\r\nHost: t\r\nConnection: close\r\nContent-Type: text/csv\r\n"
               "Content-Length: " +
               std::to_string(csv.size()) + "\r\n\r\n" + csv);
  };
  for (const auto& [name, value] : described(description.at("paths").at("/v1/fit").at("post")))
    EXPECT_EQ(fitted(name + '=' + value).find("/problems/unknown-name"), std::string::npos) << name << '=' << value;
  EXPECT_NE(fitted("nonsense=1").find("/problems/unknown-name"), std::string::npos);
  const std::string whole = fitted("place=46.5+7.25&graduation=1");
  EXPECT_NE(whole.find("Agonic-Summary: {\"sightings\":33,\"refused\":2,\"left_out\":4}"), std::string::npos) << whole;
  const auto fit = nlohmann::json::parse(whole.substr(whole.find("\r\n\r\n") + 4));
  for (const auto& name : schemas.at("Fit").at("required")) EXPECT_TRUE(fit.contains(name)) << name;
  const auto& one = schemas.at("FitOfInstrument");
  for (const auto& name : one.at("required")) EXPECT_TRUE(fit.at("instruments").at(0).contains(name)) << name;
  for (const auto& property : one.at("properties").at("azimuth").at("properties").items())
    EXPECT_TRUE(property.key() == "problem" || fit.at("instruments").at(0).at("azimuth").contains(property.key()))
        << property.key();
  const auto& mistakes = schemas.at("Fit").at("properties").at("sightings").at("items").at("properties").at("mistake");
  for (const auto& sighting : fit.at("sightings"))
    if (sighting.contains("mistake")) {
      EXPECT_NE(std::find(mistakes.at("enum").begin(), mistakes.at("enum").end(), sighting.at("mistake")),
                mistakes.at("enum").end());
    }
}

TEST_F(ProcessTest, DocumentsHoldEveryMemberThatTheDescriptionRequires) {
  serve();
  const auto description = nlohmann::json::parse(text_of(AGONIC_SOURCE_DIR "/server/openapi.json"));
  const auto& schemas = description.at("components").at("schemas");
  const auto posted = [&](const std::string& target, const std::string& type, const std::string& body) {
    const std::string response =
        ask("POST " + target + " HTTP/1.1\r\nHost: t\r\nConnection: close\r\nContent-Type: " + type +
            "\r\nContent-Length: " + std::to_string(body.size()) + "\r\n\r\n" + body);
    return nlohmann::json::parse(response.substr(response.find("\r\n\r\n") + 4), nullptr, false);
  };
  struct Case {
    std::string path, schema, rows, csv, body;
  };
  const std::string day = text_of(AGONIC_SOURCE_DIR "/tests/data/observatory-day.iaga");
  for (const Case& c :
       {Case{"/v1/traverse?place=46.5+7.25&date=2026-06-15&set_declination=0&f=json", "Traverse", "legs", "text/csv",
             "from,to,fore,back,length_m\nA,B,0,180,9\nB,C,120,300,9\nC,A,240,60,9\n"},
        Case{"/v1/rotation?place=46.5+7.25&date=1950&found_reference=true&f=json", "Rotation", "pairs", "text/csv",
             "old,found\n10,5\n20,15\n30,25\n"},
        Case{"/v1/swing?time=2026-06-15T09:40Z&f=json", "Swing", "readings", "text/plain", day}}) {
    const auto answer = posted(c.path, c.csv, c.body);
    ASSERT_TRUE(answer.is_object()) << c.path;
    const auto& schema = schemas.at(c.schema);
    for (const auto& name : schema.at("required")) EXPECT_TRUE(answer.contains(name)) << c.path << ' ' << name;
    for (const auto& member : answer.items())
      EXPECT_TRUE(schema.at("properties").contains(member.key())) << c.path << ' ' << member.key();
    const auto& row = schema.at("properties").at(c.rows).at("items").at("properties");
    for (const auto& property : row.items())
      if (!property.key().starts_with("usual")) {
        EXPECT_TRUE(answer.at(c.rows).at(0).contains(property.key())) << c.path << ' ' << property.key();
      }
    // Every parameter that is described is known.
    const std::string bare = c.path.substr(0, c.path.find('?'));
    for (const auto& parameter : description.at("paths").at(bare).at("post").at("parameters")) {
      std::string value = parameter.at("example");
      for (std::size_t at = 0; (at = value.find(' ')) != std::string::npos;) value[at] = '+';
      const std::string query = bare + '?' + parameter.at("name").get<std::string>() + '=' + value;
      const auto said = posted(query, c.csv, c.body);  // CSV and text are no problem
      EXPECT_FALSE(said.is_object() && said.value("type", "") == "/problems/unknown-name") << query;
    }
    EXPECT_EQ(posted(bare + "?time=2026-06-15T09:40Z&nonsense=1", c.csv, c.body).value("type", ""),
              "/problems/unknown-name");
  }
}

TEST_F(ProcessTest, ASecondInstanceOnThePortSaysSoAndEndsWith3) {
  serve();
  EXPECT_EQ(exit_code(start({"--port", std::to_string(port)})), 3);
  EXPECT_NE(text_of(folder / "errors").find("cannot listen on 127.0.0.1 port " + std::to_string(port)),
            std::string::npos);
}

TEST_F(ProcessTest, ABadCoefficientFileIsNamedWithItsLineAndEndsWith3) {
  std::ofstream(folder / "bad.cof") << "this is no table\n";
  EXPECT_EQ(exit_code(start({"--port", "0", "--coefficients", folder.string()})), 3);
  EXPECT_NE(text_of(folder / "errors").find("bad.cof:1"), std::string::npos) << text_of(folder / "errors");
  EXPECT_EQ(exit_code(start({"--port", "0", "--coefficients", (folder / "none").string()})), 3);
}

TEST_F(ProcessTest, ASecondSigtermEndsItAtOnce) {
  const pid_t child = serve();
  Client stuck(port);
  const std::string half =
      "POST /v1/correct HTTP/1.1\r\nHost: t\r\nContent-Type: text/csv\r\nContent-Length: 99\r\n\r\na";
  stuck.send(half);
  std::this_thread::sleep_for(200ms);
  ::kill(child, SIGTERM);
  EXPECT_EQ(exit_code(child, 500ms), -1) << "did not wait for the upload";
  ::kill(child, SIGTERM);
  EXPECT_EQ(exit_code(child, 1000ms), 1);
}

TEST_F(ProcessTest, WrongOptionsEndWith2) {
  EXPECT_EQ(exit_code(start({"--port", "none"})), 2);
  EXPECT_EQ(exit_code(start({"--no-such-option"})), 2);
}

}  // namespace
}  // namespace agonic::server
