#include "model/exchange/added_text.hpp"
#include "model/exchange/csv_text.hpp"
#include "model/exchange/writer.hpp"

namespace agonic::exchange {
namespace {

class CsvWriter final : public RowWriter {
 public:
  explicit CsvWriter(CsvLayout layout) : layout_(std::move(layout)) {}

  void begin(std::string& out) override {
    out += layout_.bom;
    out += layout_.header;
    each([&](reading::Added column) {
      out += layout_.delimiter;
      out += name(column);
    });
    // A file of one line without an ending gets none after its header either, unless rows follow.
    out += layout_.ending;
  }

  void row(const Row& row, const reading::Outcome& outcome, std::string& out) override {
    out += row.raw;
    for (std::size_t i = row.fields.size(); i < layout_.columns; ++i) out += layout_.delimiter;
    each([&](reading::Added column) {
      out += layout_.delimiter;
      append_field(added_cell(outcome, column, layout_.decimal_mark), layout_.delimiter, out);
    });
    out += row.ending;
  }

  void blank(const Row& row, std::string& out) override { out += row.raw + row.ending; }

  void end(const Summary&, std::string&) override {}

 private:
  template <class Do>
  void each(Do&& act) const {
    for (std::size_t i = 0; i < reading::kAdded; ++i) {
      const auto column = static_cast<reading::Added>(i);
      if (column != reading::Added::azimuth_at_target || layout_.with_target) act(column);
    }
  }
  CsvLayout layout_;
};

}  // namespace

std::unique_ptr<RowWriter> csv_writer(CsvLayout layout) { return std::make_unique<CsvWriter>(std::move(layout)); }

}  // namespace agonic::exchange
