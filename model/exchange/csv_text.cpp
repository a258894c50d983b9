#include "model/exchange/csv_text.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <cstring>

namespace agonic::exchange {

namespace {

// Bytes are looked at eight at a time, within a machine word (Mycroft's test for zero bytes in its exact form; Warren,
// Hacker's Delight, 2nd ed., 6-1). The first byte is the lowest: words are loaded as on a little-endian machine.
constexpr std::size_t kBlock = 8;
constexpr std::uint64_t kLow = 0x7F7F7F7F7F7F7F7F;

std::uint64_t load_whole(const char* from) {
  std::uint64_t word = 0;
  std::memcpy(&word, from, kBlock);
  if constexpr (std::endian::native == std::endian::big) word = __builtin_bswap64(word);
  return word;
}

// The word at `at`; behind the end of the text: zeros.
std::uint64_t load(std::string_view text, std::size_t at) {
  if (text.size() - at >= kBlock) return load_whole(text.data() + at);
  // The last bytes of a longer text, moved down; a shorter one byte by byte.
  const std::size_t left = text.size() - at;
  if (text.size() >= kBlock) return load_whole(text.data() + text.size() - kBlock) >> (8 * (kBlock - left));
  std::uint64_t word = 0;
  for (std::size_t i = 0; i < left; ++i) word |= std::uint64_t{static_cast<unsigned char>(text[at + i])} << (8 * i);
  return word;
}

// The top bit of each byte that is `c`.
constexpr std::uint64_t equal(std::uint64_t word, char c) {
  const std::uint64_t x = word ^ (0x0101010101010101 * static_cast<unsigned char>(c));
  return ~(((x & kLow) + kLow) | x | kLow);
}

std::size_t first_byte(std::uint64_t bits) { return static_cast<std::size_t>(std::countr_zero(bits)) / 8; }

void split_quoted(std::string_view record, char delimiter, std::vector<CsvField>& out) {
  out.clear();
  std::size_t start = 0;
  while (true) {
    CsvField field;
    std::size_t end = start;
    if (start < record.size() && record[start] == '"') {
      field.quoted = true;
      ++end;
      while (true) {
        end = record.find('"', end);
        if (end == std::string_view::npos) {
          field.broken = true;
          end = record.size();
          break;
        }
        ++end;
        if (end >= record.size() || record[end] != '"') break;
        ++end;  // a doubled quote
      }
      if (end < record.size() && record[end] != delimiter) {
        field.broken = true;
        end = record.find(delimiter, end);
      }
    } else {
      end = record.find(delimiter, start);
    }
    if (end == std::string_view::npos) end = record.size();
    field.raw = record.substr(start, end - start);
    out.push_back(field);
    if (end >= record.size()) return;
    start = end + 1;
  }
}

// Sixteen bytes at a time; the compiler makes of it what the processor has.
constexpr std::size_t kWide = 16;
using Bytes [[gnu::vector_size(kWide)]] = unsigned char;

Bytes all(char c) { return Bytes{} + static_cast<unsigned char>(c); }
Bytes wide(const char* from) {
  Bytes block;
  std::memcpy(&block, from, kWide);
  return block;
}
// 0xFF where two blocks agree, as two words.
std::array<std::uint64_t, 2> words_of(Bytes equal) {
  std::array<std::uint64_t, 2> words;
  std::memcpy(words.data(), &equal, kWide);
  if constexpr (std::endian::native == std::endian::big)
    for (std::uint64_t& word : words) word = __builtin_bswap64(word);
  return words;
}

// Is one of the four in the text?
bool has_any(std::string_view text, const std::array<char, 4>& wanted) {
  if (text.size() < kWide) {
    bool found = false;
    for (const char c : text) found |= c == wanted[0] || c == wanted[1] || c == wanted[2] || c == wanted[3];
    return found;
  }
  const std::array<Bytes, 4> each{all(wanted[0]), all(wanted[1]), all(wanted[2]), all(wanted[3])};
  const auto look = [&](const char* from) {
    const Bytes block = wide(from);
    return (block == each[0]) | (block == each[1]) | (block == each[2]) | (block == each[3]);
  };
  auto found = look(text.data() + text.size() - kWide);  // the last block overlaps the one before
  for (std::size_t at = 0; at + kWide <= text.size(); at += kWide) found |= look(text.data() + at);
  const auto words = words_of(Bytes(found));
  return (words[0] | words[1]) != 0;
}

}  // namespace

bool split_fields(std::string_view record, char delimiter, std::vector<CsvField>& out) {
  out.clear();
  std::size_t start = 0;
  const auto cut = [&](std::size_t end) {
    out.push_back({record.substr(start, end - start)});
    start = end + 1;
  };
  const Bytes wanted = all(delimiter), quote = all('"'), cr = all('\r'), nul{};
  Bytes quotes{}, controls{};
  std::size_t at = 0;
  for (; at + kWide <= record.size(); at += kWide) {
    const Bytes block = wide(record.data() + at);
    quotes |= Bytes(block == quote);
    controls |= Bytes(block == cr) | Bytes(block == nul);
    const auto words = words_of(Bytes(block == wanted));
    for (std::size_t half = 0; half < 2; ++half)
      for (std::uint64_t bits = words[half] & 0x8080808080808080; bits != 0; bits &= bits - 1)
        cut(at + half * kBlock + first_byte(bits));
  }
  bool quoted = false, odd = false;
  for (; at < record.size(); ++at) {
    const char c = record[at];
    quoted |= c == '"';
    odd |= c == '\r' || c == '\0';
    if (c == delimiter) cut(at);
  }
  const auto q = words_of(quotes), k = words_of(controls);
  if (quoted || (q[0] | q[1]) != 0) {
    split_quoted(record, delimiter, out);
    return true;
  }
  out.push_back({record.substr(start)});
  return odd || (k[0] | k[1]) != 0;
}

std::string unquote(std::string_view raw) {
  std::string out;
  out.reserve(raw.size());
  for (std::size_t i = 1; i + 1 < raw.size(); ++i) {
    out += raw[i];
    if (raw[i] == '"') ++i;
  }
  return out;
}

void append_field(std::string_view value, char delimiter, Text& out) {
  if (!has_any(value, {delimiter, '"', '\n', '\r'})) {
    out += value;
    return;
  }
  char* to = out.room(2 * value.size() + 2);  // at most, when all are quotes
  *to++ = '"';
  while (true) {
    const std::size_t quote = value.find('"');
    const std::string_view piece = value.substr(0, quote);
    std::memcpy(to, piece.data(), piece.size());
    to += piece.size();
    *to++ = '"';
    if (quote == std::string_view::npos) break;
    *to++ = '"';
    value.remove_prefix(quote + 1);
  }
  out.advance(to);
}

std::optional<RecordScanner::Record> RecordScanner::scan(std::string_view buffer) {
  while (at_ < buffer.size()) {
    if (in_quotes_) {
      at_ = std::min(buffer.find('"', at_), buffer.size());
      if (at_ == buffer.size()) break;
      // A doubled quote closes and opens again at once: the result is the same.
      in_quotes_ = false;
      closed_ = ++at_;
      continue;
    }
    const std::uint64_t word = load(buffer, at_);
    const std::uint64_t bits = equal(word, '"') | equal(word, '\n');
    if (bits == 0) {
      at_ = std::min(at_ + kBlock, buffer.size());
      continue;
    }
    at_ += first_byte(bits);
    if (buffer[at_] == '\n') {
      const bool crlf = at_ > 0 && buffer[at_ - 1] == '\r';
      const Record record{at_ - (crlf ? 1 : 0), crlf ? std::size_t{2} : std::size_t{1}};
      had_quotes_ = quotes_;
      reset();
      return record;
    }
    // A quote opens at the front of a cell, or again right behind one that closed.
    quotes_ = true;
    in_quotes_ = at_ == 0 || buffer[at_ - 1] == delimiter_ || closed_ == at_;
    ++at_;
  }
  return std::nullopt;
}

}  // namespace agonic::exchange
