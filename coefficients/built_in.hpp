// The coefficient tables of this folder as bytes compiled into the program. Data only: nothing here reads them.
#pragma once

#include <span>
#include <string_view>

namespace agonic::coefficients {

/// One published model: the texts of its folder, byte for byte. The views live as long as the program.
struct BuiltIn {
  std::string_view id;            ///< the folder's name, as `wmm2025`
  std::string_view table;         ///< table.txt
  std::string_view about;         ///< about.txt, the sidecar
  std::string_view check_values;  ///< check_values.txt; empty where none is published
  std::string_view poles;         ///< poles.txt: geomagnetic pole; empty where none
  std::string_view dip_poles;     ///< dip_poles.txt; empty where none
};

/// All models, in catalogue order.
std::span<const BuiltIn> built_in();

}  // namespace agonic::coefficients
