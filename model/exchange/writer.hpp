// How a corrected row is written in each format.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "model/exchange/batch.hpp"
#include "model/exchange/row.hpp"
#include "model/reading/corrector.hpp"
#include "model/units/text.hpp"

namespace agonic::exchange {

/// Appends the output of a batch to `out`, piece by piece. Each thread has one of its own: it may remember what it
/// wrote last, but what it writes depends on its arguments alone.
class RowWriter {
 public:
  virtual ~RowWriter() = default;
  virtual void begin(Text& out) = 0;
  /// @param first of the batch
  virtual void row(const Row& row, const Desk& desk, const reading::Outcome& outcome, bool first, Text& out) = 0;
  /// An empty line between rows.
  virtual void blank(const Row& row, Text& out) = 0;
  virtual void end(const Summary& summary, Text& out) = 0;
};

/// How a CSV file is laid out, kept in the output.
struct CsvLayout {
  std::string bom;
  std::string header;  ///< as it came (or with earlier_ names), without its ending
  std::string ending;  ///< of the header line
  char delimiter = ',';
  char decimal_mark = '.';
  bool other_encoding = false;  ///< its head is no UTF-8: what is added keeps to ASCII
  std::size_t columns = 0;
  bool with_target = false;
};
std::unique_ptr<RowWriter> csv_writer(CsvLayout layout);

/// CSV in, JSON or NDJSON out: every cell a string under its header name.
std::unique_ptr<RowWriter> csv_to_json_writer(std::vector<std::string> names, Format out, bool with_target);

/// JSON in: the added members are put into the object as it came.
/// @param before,after members of the document before and behind the rows, as they came
/// ("\"type\":\"FeatureCollection\"")
std::unique_ptr<RowWriter> json_writer(Format out, std::string before, std::shared_ptr<const std::string> after,
                                       bool with_target);
/// @param several_lines rows may come on several lines, and are put on one
std::unique_ptr<RowWriter> ndjson_writer(bool with_target, bool several_lines);

}  // namespace agonic::exchange
