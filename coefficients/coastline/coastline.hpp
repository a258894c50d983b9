// The outlines of land that are compiled in, as text (about.txt describes the layout).
#pragma once

#include <string_view>

namespace agonic::coefficients {

std::string_view coastline_text() noexcept;

}  // namespace agonic::coefficients
