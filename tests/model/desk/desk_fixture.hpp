// Documents worked with the real models.
#pragma once

#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>
#include <string>

#include "model/desk/desk.hpp"
#include "model/units/date.hpp"

namespace agonic::desk {

class DeskTest : public testing::Test {
 protected:
  using Options = std::map<std::string, std::string>;

  static Result<Answer> ask(Job job, Format in, Format out, const std::string& body, const Options& options = {},
                            Writer writer = Writer::program) {
    static const field::Catalogue catalogue(field::built_in_texts());
    geodesy::Grids grids;
    Request request;
    request.in = in;
    request.out = out;
    request.body = body;
    request.today = std::chrono::sys_days(std::chrono::year(2026) / 11 / 25);
    request.parameters.writer = writer;
    for (const auto& [name, value] : options) request.parameters.values[name] = value;
    return work(job, catalogue, grids, request);
  }
  /// A file of tests/data.
  static std::string demo(const std::string& name) {
    std::ifstream in(std::string(AGONIC_SOURCE_DIR) + "/tests/data/" + name);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
  }
  static Answer answer(Job job, Format in, Format out, const std::string& body, const Options& options = {}) {
    auto result = ask(job, in, out, body, options);
    if (!result) throw std::runtime_error(result.problem().text());
    return *std::move(result);
  }
  static nlohmann::json json(Job job, const std::string& csv, const Options& options = {}) {
    return nlohmann::json::parse(answer(job, Format::csv, Format::json, csv, options).body);
  }
  static Problem problem(Job job, const std::string& csv, const Options& options = {}) {
    auto result = ask(job, Format::csv, Format::json, csv, options);
    return result ? Problem{Code::internal, {}, {}, "it was taken", {}} : result.problem();
  }
  /// Does the document carry a note of this code?
  static bool noted(const nlohmann::json& document, const std::string& code) {
    for (const auto& note : document.at("notes"))
      if (note.at("code") == code) return true;
    return false;
  }
};

}  // namespace agonic::desk
