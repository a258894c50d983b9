// Writes a model in the publishers' layouts, so that the tests can read it back and damage it.
#pragma once

#include <array>
#include <charconv>
#include <string>

#include "model/field/coefficients.hpp"

namespace agonic::field {

/// Shortest text that reads back as the same number.
inline std::string exact(double value) {
  std::array<char, 40> buffer;
  return {buffer.data(), std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr};
}

/// The WMM coefficient layout. The model must be linear.
inline std::string wmm_layout(const CoefficientSet& model, const std::string& name, double epoch) {
  std::string text = "    " + exact(epoch) + "            " + name + "        01/01/2000\r\n";
  for (int n = 1; n <= model.degree; ++n) {
    for (int m = 0; m <= n; ++m) {
      text += "  " + std::to_string(n) + "  " + std::to_string(m);
      for (const auto& set : model.sets) {
        text += "  " + exact(set[value_index(n, m)]) + "  " + (m == 0 ? "0.0" : exact(set[value_index(n, m) + 1]));
      }
      text += "\r\n";
    }
  }
  const std::string nines(48, '9');
  return text + nines + "\r\n" + nines + "\r\n";
}

/// The SHC layout. The model must be piecewise.
inline std::string shc_layout(const CoefficientSet& model) {
  std::string text = "# written by a test\n# columns: n, m, values\n 1 " + std::to_string(model.degree) + " " +
                     std::to_string(model.times.size()) + " 2 1\n     ";
  for (const double year : model.times) text.append(" ").append(exact(year));
  text += "\n";
  for (int n = 1; n <= model.degree; ++n) {
    for (int column = 0; column <= 2 * n; ++column) {
      const int m = column == 0 ? 0 : column % 2 == 1 ? (column + 1) / 2 : -column / 2;
      text += std::to_string(n) + " " + std::to_string(m);
      for (const auto& set : model.sets) {
        text.append(" ").append(exact(set[value_index(n, 0) + static_cast<std::size_t>(column)]));
      }
      text += "\n";
    }
  }
  return text;
}

}  // namespace agonic::field
