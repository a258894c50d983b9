// Where the registry is kept, from the options and the environment.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "server/registry/store.hpp"

namespace agonic::server::registry {

struct Place {
  enum class Kind { none, sqlite, postgres };
  Kind kind = Kind::none;
  std::string where;         ///< the file, or the address
  std::string operator_key;  ///< the file of the operator's key; empty where there is no folder for it
  bool by_default = false;   ///< nobody asked for it: the service does without where it cannot be kept
};

using Environment = std::function<const char*(const char*)>;

/// @param wanted as --registry: empty, "none", postgresql://… or a file
/// @param state_folder as --state-dir; else $STATE_DIRECTORY, $XDG_STATE_HOME/agonic, $HOME/.local/state/agonic
Place place_of(const std::string& wanted, const std::string& state_folder, const Environment& environment);

/// Opens it, making the folder where it is missing. Never throws: a store that cannot be opened is one whose every
/// call says why.
std::unique_ptr<Store> open_store(const Place& place);

/// What is kept of the operator's key, made and written at the first start. Empty where there is none, with why not.
struct OperatorKey {
  std::string digest;
  std::string trouble;
  bool made = false;
};
OperatorKey operator_key(const std::string& file);

}  // namespace agonic::server::registry
