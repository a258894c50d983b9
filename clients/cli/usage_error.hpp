// Mistyped command lines, told in plain words with a way out.
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

#include "model/units/problem.hpp"

namespace agonic::cli {

/// What is wrong with the words of a command line that could not be parsed.
/// @param words as typed, without the program's name
Problem usage_problem(const CLI::App& app, const CLI::ParseError& error, const std::vector<std::string>& words);

}  // namespace agonic::cli
