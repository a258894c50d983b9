#include "coefficients/built_in.hpp"

#include <array>

namespace agonic::coefficients {

// Each is defined in a source file that embed.cmake generates.
extern const BuiltIn k_wmm2025;
extern const BuiltIn k_wmmhr2025;
extern const BuiltIn k_wmm2020;
extern const BuiltIn k_igrf14;
extern const BuiltIn k_gufm1;

std::span<const BuiltIn> built_in() {
  static const std::array<BuiltIn, 5> all{k_wmm2025, k_wmmhr2025, k_wmm2020, k_igrf14, k_gufm1};
  return all;
}

}  // namespace agonic::coefficients
