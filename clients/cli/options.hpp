// Command-line options to parameters.
#pragma once

#include <CLI/CLI.hpp>
#include <memory>
#include <string>
#include <vector>

#include "clients/cli/context.hpp"
#include "clients/cli/registry_client.hpp"

namespace agonic::cli {

/// Values of options that are handed on by name.
struct NamedOptions {
  std::map<std::string, std::string> values;  ///< by parameter name
  [[nodiscard]] Parameters parameters() const;
};

void add_common(CLI::App& command, Common& common);
/// `--json`, `--server` and the key, for commands that work on a registry.
void add_registry_options(CLI::App& command, Common& common, RegistryOptions& options);
/// The place as words, and the options of a lookup.
struct PlaceWords {
  std::vector<std::string> words;
  /// `42.283 -71.35` as lat, lon; anything else as one place text.
  void put_into(Parameters& parameters) const;
};
void add_place(CLI::App& command, PlaceWords& place, NamedOptions& options);
/// `--set-declination` and the like for every column, and the options of a batch.
void add_batch_options(CLI::App& command, NamedOptions& options);

}  // namespace agonic::cli
