// Routes worked with the real models.
#pragma once

#include <gtest/gtest.h>

#include <map>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>

#include "model/route/route.hpp"

namespace agonic::route {

class RouteTest : public testing::Test {
 protected:
  using Options = std::map<std::string, std::string>;
  using Json = nlohmann::json;

  static Result<Answer> ask(FormatIn in, FormatOut out, const std::string& body, const Options& options = {}) {
    static const field::Catalogue catalogue(field::built_in_texts());
    Request request;
    request.in = in;
    request.out = out;
    request.body = body;
    request.today = std::chrono::sys_days(std::chrono::year(2026) / 11 / 25);
    for (const auto& [name, value] : options) request.parameters.values[name] = value;
    return work(catalogue, request);
  }
  static Json json(FormatIn in, const std::string& body, const Options& options = {}) {
    auto answer = ask(in, FormatOut::json, body, options);
    if (!answer) throw std::runtime_error(answer.problem().text());
    return Json::parse(answer->body);
  }
  static Json json(const std::string& csv, const Options& options = {}) { return json(FormatIn::csv, csv, options); }
  static std::string text(const std::string& csv, const Options& options = {}) {
    auto answer = ask(FormatIn::csv, FormatOut::text, csv, options);
    return answer ? answer->body : answer.problem().text();
  }
  static Problem problem(FormatIn in, const std::string& body, const Options& options = {}) {
    auto answer = ask(in, FormatOut::json, body, options);
    return answer ? Problem{Code::internal, {}, {}, "it was taken", {}} : answer.problem();
  }
  static bool noted(const Json& document, const std::string& code) {
    for (const auto& note : document.at("notes"))
      if (note.at("code") == code) return true;
    return false;
  }
};

}  // namespace agonic::route
