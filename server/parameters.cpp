#include "server/parameters.hpp"

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>

#include "model/units/number.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

constexpr std::array<std::string_view, 11> kNumbers{"lat",          "lon",          "height_m",      "graduation",
                                                    "step_minutes", "pressure_hpa", "temperature_c", "interval",
                                                    "step_deg",     "zoom",         "width_px"};

std::optional<Response> add(std::string_view name, std::string value, Parameters& parameters) {
  if (parameters.values.emplace(name, std::move(value)).second) return std::nullopt;
  return refuse(HttpFault::query_repeated, "'" + printable(name) + "' is given twice", printable(name));
}

// Stops at the first thing that has no place in a flat object: nothing is ever built from a hostile document.
class FlatObject : public nlohmann::json_sax<nlohmann::json> {
 public:
  explicit FlatObject(Parameters& parameters) : parameters_(parameters) {}
  std::optional<Response> refusal;

  bool start_object(std::size_t) override {
    if (inside_) return deny("nested values have no meaning here");
    inside_ = true;
    return true;
  }
  bool key(string_t& name) override {
    name_ = name;
    return true;
  }
  bool string(string_t& value) override { return take(value); }
  bool null() override { return take({}); }  // an empty value counts as absent
  bool boolean(bool value) override {
    if (inside_ && name_ != "force_unusable") return deny("true and false have no meaning here");
    return take(value ? "yes" : "no");
  }
  bool number_integer(number_integer_t value) override { return number(std::to_string(value)); }
  bool number_unsigned(number_unsigned_t value) override { return number(std::to_string(value)); }
  bool number_float(number_float_t, const string_t& text) override { return number(text); }
  bool binary(binary_t&) override { return deny("binary has no meaning here"); }
  bool end_object() override { return true; }
  bool start_array(std::size_t) override { return deny("nested values have no meaning here"); }
  bool end_array() override { return true; }
  bool parse_error(std::size_t position, const std::string&, const nlohmann::json::exception&) override {
    name_.clear();
    return deny("no well-formed JSON at byte " + std::to_string(position));
  }

 private:
  bool deny(std::string detail) {
    refusal = refuse(HttpFault::body_malformed, std::move(detail), printable(name_));
    return false;
  }
  bool take(std::string value) {
    if (!inside_) return deny("the body must be one JSON object");
    refusal = add(name_, std::move(value), parameters_);
    return !refusal;
  }
  bool number(std::string text) {
    if (inside_ && (name_ == "date" || name_ == "until" || name_ == "time")) {
      refusal = refuse(Problem{Code::date_unreadable, name_, text,
                               "a JSON number is no date: 2008 the year and 2008.0 the instant would look alike",
                               "Give it as text, \"2028-07-04\""});
      return false;
    }
    if (inside_ && std::find(kNumbers.begin(), kNumbers.end(), name_) == kNumbers.end())
      return deny("this member must be text");
    return take(std::move(text));
  }

  Parameters& parameters_;
  std::string name_;
  bool inside_ = false;
};

}  // namespace

std::optional<Response> add_query(const Request& request, Parameters& parameters) {
  for (const NamedText& pair : request.query)
    if (auto refusal = add(pair.first, pair.second, parameters)) return refusal;
  return std::nullopt;
}

std::optional<Response> add_json(std::string_view text, Parameters& parameters) {
  FlatObject reader(parameters);
  nlohmann::json::sax_parse(text, &reader);
  return std::move(reader.refusal);
}

std::optional<Response> body_refusal(BodyEnd end, std::uint64_t limit) {
  switch (end) {
    case BodyEnd::complete:
    case BodyEnd::stopped:
      return std::nullopt;
    case BodyEnd::truncated:
      return refuse(HttpFault::upload_truncated, "the body ended before its announced end");
    case BodyEnd::malformed:
      return refuse(HttpFault::body_malformed, "the body's chunks or compression are broken");
    case BodyEnd::too_large:
      return refuse(Problem{
          Code::too_large, {}, {}, "the body is longer than " + std::to_string(limit) + " bytes", "Send it in parts."});
    case BodyEnd::too_slow:
      return refuse(HttpFault::request_timeout, "the body did not arrive in time");
    case BodyEnd::unsupported:
      return std::move(
          refuse(HttpFault::encoding_unsupported, "the body's Content-Encoding is not known here", "Content-Encoding")
              .with("Accept-Encoding", "gzip"));
  }
  return refuse(HttpFault::body_malformed, "the body could not be read");
}

MediaType media_type_of(std::string_view header) {
  const std::size_t semicolon = header.find(';');
  MediaType type{lower(trim(header.substr(0, semicolon))), true};
  const std::string rest = semicolon == std::string_view::npos ? std::string() : lower(header.substr(semicolon));
  if (const std::size_t charset = rest.find("charset="); charset != std::string::npos) {
    std::string_view value = std::string_view(rest).substr(charset + 8);
    value = trim(value.substr(0, value.find(';')));
    type.utf8 = value == "utf-8" || value == "\"utf-8\"" || value == "us-ascii" || value == "utf8";
  }
  return type;
}

std::variant<std::string, Response> read_json_body(const Request& request, BodyReader& body, std::size_t limit) {
  const MediaType type = media_type_of(request.header("content-type").value_or(""));
  if (type.name != "application/json" || !type.utf8)
    return std::move(refuse(Problem{Code::unsupported_format,
                                    "Content-Type",
                                    {},
                                    "this address takes JSON in UTF-8",
                                    "Send Content-Type: application/json."})
                         .with("Accept-Post", "application/json"));
  std::string text;
  const BodyEnd end = body.read(limit, [&](std::string_view piece) {
    text.append(piece);
    return true;
  });
  if (auto refusal = body_refusal(end, limit)) return std::move(*refusal);
  return text;
}

std::optional<Response> add_json_body(const Request& request, BodyReader& body, Parameters& parameters) {
  auto text = read_json_body(request, body, kSmallBodyMax);
  if (auto* refusal = std::get_if<Response>(&text)) return std::move(*refusal);
  return add_json(std::get<std::string>(text), parameters);
}

}  // namespace agonic::server
