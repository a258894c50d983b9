#include "model/exchange/json_members.hpp"

#include <simdjson.h>

#include "model/exchange/json_text.hpp"
#include "model/exchange/row.hpp"
#include "model/units/number.hpp"

namespace agonic::exchange {

static_assert(kRowPadding >= simdjson::SIMDJSON_PADDING);

struct JsonMembers::Parser {
  simdjson::ondemand::parser parser;
};

JsonMembers::JsonMembers() : parser_(std::make_unique<Parser>()) {}
JsonMembers::~JsonMembers() = default;

const JsonName& JsonMembers::name_at(std::size_t place, std::string_view text) {
  if (place >= names_.size()) names_.resize(place + 1);
  auto& known = names_[place];
  if (known && known->text == text) return *known;
  known =
      std::make_unique<JsonName>(JsonName{std::string(text), reading::column_of(text), reading::added_of(text), {}});
  if (!known->column && !known->added) known->nearly = reading::nearly(text);
  return *known;
}

bool JsonMembers::visit(std::string_view text, std::size_t deepest,
                        const std::function<void(const JsonMember&)>& member) {
  namespace sj = simdjson::ondemand;
  sj::document document;
  const simdjson::padded_string_view padded(text.data(), text.size(), text.size() + kRowPadding);
  if (parser_->parser.iterate(padded).get(document) != simdjson::SUCCESS) return false;
  sj::object object;
  if (document.get_object().get(object) != simdjson::SUCCESS) return false;
  std::size_t place = 0;
  for (auto field : object) {
    std::string_view key;
    if (field.unescaped_key().get(key) != simdjson::SUCCESS) return false;
    const JsonName& name = name_at(place++, key);
    sj::value value;
    if (field.value().get(value) != simdjson::SUCCESS) return false;
    JsonMember found{name, 0, {}, {}};
    sj::json_type type{};
    if (value.type().get(type) != simdjson::SUCCESS) return false;
    // Each value is read in full: what is passed over would not be checked.
    switch (type) {
      case sj::json_type::string:
        found.value = trim(value.raw_json_token());
        if (value.get_string().get(found.text) != simdjson::SUCCESS) return false;
        break;
      case sj::json_type::number: {
        found.value = trim(value.raw_json_token());
        double number = 0;
        if (value.get_double().get(number) != simdjson::SUCCESS) return false;
        break;
      }
      case sj::json_type::boolean: {
        found.value = trim(value.raw_json_token());
        bool yes = false;
        if (value.get_bool().get(yes) != simdjson::SUCCESS) return false;
        break;
      }
      case sj::json_type::null: {
        found.value = trim(value.raw_json_token());
        if (found.value != "null") return false;
        bool null = false;
        if (simdjson::simdjson_result<bool>(value.is_null()).get(null) != simdjson::SUCCESS || !null) return false;
        break;
      }
      case sj::json_type::object:
      case sj::json_type::array: {
        std::string_view nested;
        if (type == sj::json_type::object) {
          sj::object inner;
          if (value.get_object().get(inner) != simdjson::SUCCESS || inner.raw_json().get(nested) != simdjson::SUCCESS)
            return false;
        } else {
          sj::array inner;
          if (value.get_array().get(inner) != simdjson::SUCCESS || inner.raw_json().get(nested) != simdjson::SUCCESS)
            return false;
        }
        found.value = trim(nested);
        if (deepest < 2 || !sound_json(found.value, deepest - 1)) return false;
        break;
      }
    }
    found.type = found.value.front();
    member(found);
  }
  // Nothing may stand behind the object.
  return document.current_location().error() == simdjson::OUT_OF_BOUNDS;
}

}  // namespace agonic::exchange
