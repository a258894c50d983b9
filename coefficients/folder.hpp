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

/// The built-in models and, unless `folder` is empty, those in it. Throws BadCoefficients or std::runtime_error.
field::Catalogue open_catalogue(const std::string& folder);

}  // namespace agonic
