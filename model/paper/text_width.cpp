// Advance widths of DejaVu Sans 2.37, Book and Bold (1/2048 em), as the font's own tables have them.
#include <array>
#include <cmath>
#include <cstdint>

#include "model/paper/drawing.hpp"
#include "model/paper/utf8.hpp"

namespace agonic::paper {
namespace {

constexpr int kEm = 2048;

struct Widths {
  std::array<std::int16_t, 95> ascii;   // from U+0020
  std::array<std::int16_t, 96> latin1;  // from U+00A0
  std::array<std::int16_t, 23> signs;   // of kSigns
};
constexpr std::array<char32_t, 23> kSigns{0x2010, 0x2011, 0x2012, 0x2013, 0x2014, 0x2018, 0x2019, 0x201C,
                                          0x201D, 0x2026, 0x2032, 0x2033, 0x2190, 0x2191, 0x2192, 0x2193,
                                          0x2212, 0x2264, 0x2265, 0x03B3, 0x03C3, 0x2009, 0x202F};
constexpr Widths kBook{
    {{651,  821,  942,  1716, 1303, 1946, 1597, 563,  799,  799,  1024, 1716, 651,  739,  651,  690,
      1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 690,  690,  1716, 1716, 1716, 1087,
      2048, 1401, 1405, 1430, 1577, 1294, 1178, 1587, 1540, 604,  604,  1343, 1141, 1767, 1532, 1612,
      1235, 1612, 1423, 1300, 1251, 1499, 1401, 2025, 1403, 1251, 1403, 799,  690,  799,  1716, 1024,
      1024, 1255, 1300, 1126, 1300, 1260, 721,  1300, 1298, 569,  569,  1186, 569,  1995, 1298, 1253,
      1300, 1300, 842,  1067, 803,  1298, 1212, 1675, 1212, 1212, 1075, 1303, 690,  1303, 1716}},
    {{651,  821,  1303, 1303, 1303, 1303, 690,  1024, 1024, 2048, 965,  1253, 1716, 739,  2048, 1024,
      1024, 1716, 821,  821,  1024, 1303, 1303, 651,  1024, 821,  965,  1253, 1985, 1985, 1985, 1087,
      1401, 1401, 1401, 1401, 1401, 1401, 1995, 1430, 1294, 1294, 1294, 1294, 604,  604,  604,  604,
      1587, 1532, 1612, 1612, 1612, 1612, 1612, 1716, 1612, 1499, 1499, 1499, 1499, 1251, 1239, 1290,
      1255, 1255, 1255, 1255, 1255, 1255, 2011, 1126, 1260, 1260, 1260, 1260, 569,  569,  569,  569,
      1253, 1298, 1253, 1253, 1253, 1253, 1253, 1716, 1253, 1298, 1298, 1298, 1298, 1212, 1300, 1212}},
    {{739,  739,  1303, 1024, 2048, 651,  651,  1061, 1061, 2048, 465, 765,
      1716, 1716, 1716, 1716, 1716, 1716, 1716, 1212, 1298, 409,  409}}};
constexpr Widths kBold{
    {{713,  934,  1067, 1716, 1425, 2052, 1786, 627,  936,  936,  1071, 1716, 778,  850,  778,  748,
      1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 819,  819,  1716, 1716, 1716, 1188,
      2048, 1585, 1561, 1503, 1700, 1399, 1399, 1681, 1714, 762,  762,  1587, 1305, 2038, 1714, 1741,
      1501, 1741, 1577, 1475, 1397, 1663, 1585, 2259, 1579, 1483, 1485, 936,  748,  936,  1716, 1024,
      1024, 1382, 1466, 1214, 1466, 1389, 891,  1466, 1458, 702,  702,  1362, 702,  2134, 1458, 1407,
      1466, 1466, 1010, 1219, 979,  1458, 1335, 1892, 1321, 1335, 1192, 1458, 748,  1458, 1716}},
    {{713,  934,  1425, 1425, 1303, 1425, 748,  1024, 1024, 2048, 1155, 1323, 1716, 850,  2048, 1024,
      1024, 1716, 897,  897,  1024, 1507, 1303, 778,  1024, 897,  1155, 1323, 2120, 2120, 2120, 1188,
      1585, 1585, 1585, 1585, 1585, 1585, 2222, 1503, 1399, 1399, 1399, 1399, 762,  762,  762,  762,
      1716, 1714, 1741, 1741, 1741, 1741, 1741, 1716, 1741, 1663, 1663, 1663, 1663, 1483, 1511, 1473,
      1382, 1382, 1382, 1382, 1382, 1382, 2146, 1214, 1389, 1389, 1389, 1389, 702,  702,  702,  702,
      1407, 1458, 1407, 1407, 1407, 1407, 1407, 1716, 1407, 1458, 1458, 1458, 1458, 1335, 1466, 1335}},
    {{850,  850,  1425, 1024, 2048, 778,  778,  1346, 1346, 2048, 540, 915,
      1716, 1716, 1716, 1716, 1716, 1716, 1716, 1395, 1595, 409,  409}}};

int advance(const Widths& widths, char32_t letter) {
  if (letter >= 0x20 && letter < 0x7F) return widths.ascii[letter - 0x20];
  if (letter >= 0xA0 && letter <= 0xFF) return widths.latin1[letter - 0xA0];
  for (std::size_t i = 0; i < kSigns.size(); ++i)
    if (kSigns[i] == letter) return widths.signs[i];
  return kEm;
}

}  // namespace

double text_width(std::string_view text, double size, Weight weight) {
  const Widths& widths = weight == Weight::bold ? kBold : kBook;
  int sum = 0;
  for (std::size_t at = 0; at < text.size();) sum += advance(widths, next_letter(text, at));
  return sum * size / kEm;
}

std::vector<std::string> wrap(std::string_view text, double size, double width, Weight weight) {
  std::vector<std::string> lines;
  std::string line;
  std::size_t at = 0;
  while (at < text.size()) {
    while (at < text.size() && text[at] == ' ') ++at;
    const std::size_t end = std::min(text.find(' ', at), text.size());
    if (end == at) break;
    const std::string_view word = text.substr(at, end - at);
    at = end;
    std::string longer = line.empty() ? std::string(word) : line + ' ' + std::string(word);
    if (line.empty() || text_width(longer, size, weight) <= width) {
      line = std::move(longer);
    } else {
      lines.push_back(std::move(line));
      line = word;
    }
  }
  if (!line.empty()) lines.push_back(std::move(line));
  return lines;
}

}  // namespace agonic::paper
