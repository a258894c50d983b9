// The commands: each adds itself to the program and says how it ended.
#pragma once

#include <CLI/CLI.hpp>

#include "clients/cli/context.hpp"

namespace agonic::cli {

/// Adds a subcommand; when it is chosen, `exit` gets its exit code.
void add_declination(CLI::App& app, Common& common, int& exit);
void add_setting(CLI::App& app, Common& common, int& exit);
void add_chart(CLI::App& app, Common& common, int& exit);
void add_sun(CLI::App& app, Common& common, int& exit);
void add_fit(CLI::App& app, Common& common, int& exit);
void add_correct(CLI::App& app, Common& common, int& exit);
void add_review(CLI::App& app, Common& common, int& exit);
void add_traverse(CLI::App& app, Common& common, int& exit);
void add_rotation(CLI::App& app, Common& common, int& exit);
void add_swing(CLI::App& app, Common& common, int& exit);
void add_card(CLI::App& app, Common& common, int& exit);
void add_route(CLI::App& app, Common& common, int& exit);
void add_explain(CLI::App& app, Common& common, int& exit);
void add_models(CLI::App& app, Common& common, int& exit);
void add_instrument(CLI::App& app, Common& common, int& exit);
void add_key(CLI::App& app, Common& common, int& exit);
void add_selftest(CLI::App& app, Common& common, int& exit);

}  // namespace agonic::cli
