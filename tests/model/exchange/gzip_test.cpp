// Strict inflation: what is cut, broken or followed by something else is no success (RFC 1952).
#include "model/exchange/gzip.hpp"

#include <gtest/gtest.h>

#include <string>

#include "tests/gzip.hpp"

namespace agonic::exchange {
namespace {

/// Inflates in pieces; "!" for malformed, "?" for cut short.
std::string inflated(std::string_view bytes, std::size_t step) {
  Inflater inflater;
  std::string out;
  for (std::size_t at = 0; at < bytes.size(); at += step)
    if (inflater.feed(bytes.substr(at, step), [&](std::string_view piece) {
          out += piece;
          return true;
        }) != Inflater::Outcome::ok)
      return "!";
  return inflater.at_end() ? out : "?";
}

TEST(Inflate, GivesBackTheTextHoweverItIsCut) {
  std::string text(300000, 'a');
  for (std::size_t i = 0; i < text.size(); i += 7) text[i] = static_cast<char>('b' + i % 11);
  const std::string packed = gzip(text);
  for (const std::size_t step : {std::size_t{1}, std::size_t{7}, std::size_t{1000}, packed.size()})
    EXPECT_EQ(inflated(packed, step), text) << step;
  EXPECT_EQ(inflated(gzip("one") + gzip("two"), 3), "onetwo");  // RFC 1952 2.2: members
}

TEST(Inflate, ACutBrokenOrTrailedStreamIsNoSuccess) {
  const std::string packed = gzip("readings\n");
  for (std::size_t length = 1; length < packed.size(); ++length)
    EXPECT_EQ(inflated(packed.substr(0, length), 4), "?") << length;
  std::string wrong_sum = packed;
  wrong_sum[packed.size() - 6] ^= 1;
  EXPECT_EQ(inflated(wrong_sum, 100), "!");
  EXPECT_EQ(inflated(packed + "junk", 100), "!");
  EXPECT_EQ(inflated("no gzip at all", 100), "!");
}

// RFC 1952, read back by zlib's own inflation: pieces packed apart are one stream with one checksum.
TEST(Gzip, PiecesAreOneStream) {
  const std::string rows(200000, 'r'), empty, note = "id,azimuth\n";
  GzipJoiner joiner;
  std::string packed(GzipJoiner::head());
  for (const std::string& text : {note, rows, empty, note}) {
    const GzipPiece piece = gzip_piece(text);
    joiner.add(piece);
    packed += piece.packed;
  }
  packed += joiner.tail();
  EXPECT_TRUE(looks_like_gzip(packed));
  EXPECT_EQ(inflated(packed, 1000), note + rows + note);
  packed[packed.size() - 7] ^= 1;
  EXPECT_EQ(inflated(packed, 1000), "!");
}

}  // namespace
}  // namespace agonic::exchange
