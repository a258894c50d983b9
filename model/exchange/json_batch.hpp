// JSON documents in: {"defaults": {...}, "readings": [...]} and GeoJSON feature collections, as a stream.
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "model/exchange/json_text.hpp"
#include "model/exchange/options.hpp"
#include "model/exchange/row_batch.hpp"

namespace agonic::exchange {

class JsonBatch final : public RowBatch {
 public:
  /// @param parameters as given beside the document: they stand before its defaults
  JsonBatch(const field::Catalogue& catalogue, Options options, Parameters parameters, Format in, Format out,
            Work work);
  std::optional<Problem> feed(std::string_view bytes) override;
  Result<Summary> finish() override;

 private:
  // Where in the document the next byte stands.
  enum class At {
    start,
    first_key,
    key,
    key_text,
    colon,
    value,
    member_value,
    after_member,
    first_element,
    element,
    element_value,
    after_element,
    end
  };
  std::optional<Problem> take(char c);
  std::optional<Problem> take_start(char c);
  std::optional<Problem> take_key(char c);
  std::optional<Problem> take_element(char c);
  std::optional<Problem> member_done();
  std::optional<Problem> read_defaults(std::string_view object);
  std::optional<Problem> begin_rows();
  std::optional<Problem> element_done();
  [[nodiscard]] std::string_view rows_name() const { return in_ == Format::geojson ? "features" : "readings"; }
  [[nodiscard]] Problem malformed(std::string message, std::string remedy) const;

  Options options_;
  Parameters parameters_;
  Format in_, out_;
  std::shared_ptr<const RowReader> reader_;
  At at_ = At::start;
  ValueScanner scanner_;
  std::string text_, key_;
  std::uint64_t line_ = 1, element_line_ = 1;
  std::string members_before_;
  std::shared_ptr<std::string> members_after_ = std::make_shared<std::string>();
  bool rows_seen_ = false, defaults_seen_ = false, first_row_ = true;
  std::size_t bom_ = 0;  // bytes of a byte order mark that were taken
};

}  // namespace agonic::exchange
