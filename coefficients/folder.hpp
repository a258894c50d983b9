// Newer models, dropped into a folder beside the program.
#pragma once

#include <string>
#include <vector>

#include "model/field/catalogue.hpp"

namespace agonic {

/// The coefficient files of a folder, in the order of their names: each subfolder with table.txt and about.txt in
/// the layout of coefficients/, and each file ending in .cof or .shc in its publisher's. Others are passed over.
/// Throws std::runtime_error that names the file.
std::vector<field::CoefficientText> read_coefficient_folder(const std::string& folder);

/// The texts of the built-in models and, unless `folder` is empty, those in it. Throws std::runtime_error.
std::vector<field::CoefficientText> coefficient_texts(const std::string& folder);

}  // namespace agonic
