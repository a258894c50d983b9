#include <algorithm>
#include <array>
#include <bit>
#include <cstring>
#include <string>

#include "model/exchange/added_text.hpp"
#include "model/exchange/csv_text.hpp"
#include "model/exchange/writer.hpp"

namespace agonic::exchange {
namespace {

using reading::Added;

class CsvWriter final : public RowWriter {
 public:
  explicit CsvWriter(CsvLayout layout)
      : layout_(std::move(layout)), columns_(layout_.with_target ? reading::kAdded : reading::kAdded - 1) {
    static_assert(static_cast<std::size_t>(Added::azimuth_at_target) == reading::kAdded - 1);
  }

  void begin(Text& out) override {
    out += layout_.bom;
    out += layout_.header;
    for (std::size_t i = 0; i < columns_; ++i) {
      out += layout_.delimiter;
      out += name(static_cast<Added>(i));
    }
    // A file of one line without an ending gets none after its header either, unless rows follow.
    out += layout_.ending;
  }

  void row(const Row& row, const Desk&, const reading::Outcome& outcome, bool, Text& out) override {
    out += row.raw;
    for (std::size_t i = row.fields_count; i < layout_.columns; ++i) out += layout_.delimiter;
    for (std::size_t i = 0; i < columns_; ++i) {
      const auto column = static_cast<Added>(i);
      out += layout_.delimiter;
      if (is_text(column))
        append_text(row, outcome, column, out);
      else if (outcome.numbers[i])
        append_number(column, *outcome.numbers[i], out);
    }
    out += row.ending;
  }

  void blank(const Row& row, Text& out) override {
    out += row.raw;
    out += row.ending;
  }

  void end(const Summary&, Text&) override {}

 private:
  // The text of a column's last value: declinations, sigmas and the like repeat from row to row.
  struct Last {
    std::uint64_t bits = ~std::uint64_t{0};  // of no number
    std::uint8_t length = 0;
    std::array<char, 16> text{};
  };

  void append_number(Added column, double value, Text& out) {
    Last& last = last_[static_cast<std::size_t>(column)];
    const auto bits = std::bit_cast<std::uint64_t>(value);
    if (last.bits != bits) {
      const std::size_t begin = out.size();
      // A decimal comma between commas is quoted.
      const bool quoted = layout_.decimal_mark == layout_.delimiter;
      if (quoted) out += '"';
      append_cell(column, value, layout_.decimal_mark, out);
      if (quoted) out += '"';
      const std::size_t length = out.size() - begin;
      if (length <= last.text.size()) {
        last.bits = bits;
        last.length = static_cast<std::uint8_t>(length);
        std::memcpy(last.text.data(), out.data() + begin, length);
      }
      return;
    }
    char* const to = out.room(last.text.size());
    std::memcpy(to, last.text.data(), last.text.size());
    out.advance(to + last.length);
  }

  void append_text(const Row& row, const reading::Outcome& outcome, Added column, Text& out) {
    switch (column) {
      case Added::software:
        out += kSoftware;
        return;
      case Added::status:
        out += word(outcome.status);
        return;
      case Added::checks:
        append_codes(outcome, out);
        return;
      case Added::date_used:
        out += outcome.date_used;  // figures, hyphens and colons
        return;
      case Added::model:
        append_field(outcome.model, layout_.delimiter, out);
        return;
      case Added::remark:
        append_field(fitting(row, outcome.remark), layout_.delimiter, out);
        return;
      default:
        scratch_ = outcome.azimuth_true_text;  // it may be read as an azimuth again: in the mark of its file
        if (layout_.decimal_mark != '.') std::replace(scratch_.begin(), scratch_.end(), '.', layout_.decimal_mark);
        append_field(fitting(row, scratch_), layout_.delimiter, out);
        return;
    }
  }

  // Our UTF-8 beside the bytes of another encoding would leave a file that is in none: there a degree sign becomes a d,
  // which is read as one.
  std::string_view fitting(const Row& row, std::string_view text) {
    const auto plain = [](char c) { return static_cast<unsigned char>(c) < 0x80; };
    if (std::all_of(text.begin(), text.end(), plain)) return text;
    if (!layout_.other_encoding && is_utf8(row.raw)) return text;
    ascii_.clear();
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (plain(text[i])) {
        ascii_ += text[i];
      } else if (text.substr(i).starts_with("\xC2\xB0")) {
        ascii_ += 'd';
        ++i;
      } else if ((static_cast<unsigned char>(text[i]) & 0xC0U) != 0x80U) {
        ascii_ += '?';
      }
    }
    return ascii_;
  }

  // Codes are plain words: none holds a delimiter.
  static void append_codes(const reading::Outcome& outcome, Text& out) {
    bool first = true;
    for (const std::string_view code : outcome.checks) {
      if (!first) out += ' ';
      first = false;
      out += code;
    }
  }

  CsvLayout layout_;
  std::size_t columns_;
  std::array<Last, reading::kAdded> last_;
  std::string scratch_, ascii_;
};

}  // namespace

std::unique_ptr<RowWriter> csv_writer(CsvLayout layout) { return std::make_unique<CsvWriter>(std::move(layout)); }

}  // namespace agonic::exchange
