// CSV in.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/exchange/csv_text.hpp"
#include "model/exchange/options.hpp"
#include "model/exchange/row_batch.hpp"

namespace agonic::exchange {

/// Each line with an open quote costs a look at 64 KiB behind it; a file with more such lines is no CSV.
inline constexpr std::size_t kMostBrokenLines = 1000;

/// How the columns of one file become cells.
struct CsvColumns {
  std::vector<std::string> names;
  std::vector<std::optional<reading::Column>> read;  ///< of each cell
  std::optional<std::size_t> earlier_true, earlier_correction, earlier_checks;
};
std::unique_ptr<RowReader> csv_reader(CsvColumns columns, char delimiter, bool out_is_csv);

/// A cell's value without quotes.
std::string value_of(const CsvField& field);
/// Other programs end a line at a CR; inside quotes it belongs to the text.
bool bare_return(const std::vector<CsvField>& fields);

class CsvBatch final : public RowBatch {
 public:
  CsvBatch(const field::Catalogue& catalogue, Options options, Format out, Work work);
  std::optional<Problem> feed(std::string_view bytes) override;
  Result<Summary> finish() override;

 private:
  std::optional<Problem> begin();                               // header and layout, once the head of the file is there
  std::optional<Problem> read_header(std::string_view record);  // its cells are in fields_
  void rename_earlier(const std::vector<std::string>& keys);
  [[nodiscard]] std::optional<Problem> check_names() const;
  [[nodiscard]] Problem lacking(const std::string& what) const;
  void settle_decimal_mark(std::string_view head);
  std::optional<Problem> drain(bool last);  // complete records of the buffer
  void take(std::string_view record, std::string_view ending);
  void take_broken_line();  // a quote that is never closed

  Options options_;
  Format out_;
  std::string buffer_;
  std::size_t start_ = 0;  // what is before it is done
  RecordScanner scanner_{','};
  std::uint64_t line_ = 1;
  std::size_t broken_lines_ = 0;

  CsvLayout layout_;
  CsvColumns columns_;
  std::vector<CsvField> fields_;
};

}  // namespace agonic::exchange
