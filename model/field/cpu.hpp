// Which processor instructions the field is computed with. The best that the machine has, unless told otherwise.
#pragma once

#include <string_view>
#include <vector>

#include "model/units/problem.hpp"

namespace agonic::field {

/// Largest difference of two kinds of processor: nT in a component, degrees in D and I where H > 100 nT.
inline constexpr double kAcrossCpus = 1e-9;

/// The kind in use: `avx512`, `avx2`, `sse4`, `neon` or `baseline` (what every processor has).
std::string_view cpu_name() noexcept;

/// All kinds that this machine can run, the fastest first; `baseline` is always among them.
std::vector<std::string_view> cpu_names();

/// Uses this kind from now on, in the whole process; empty means the fastest. For comparisons and for looking into a
/// doubt: results agree within kAcrossCpus. Call it before other threads evaluate: those under way finish as they
/// began.
/// @param name as in cpu_names()
/// @param field what a problem calls it: where the name came from
/// @returns the kind now in use, or Code::unknown_name with those there are.
Result<std::string_view> force_cpu(std::string_view name, std::string_view field = "AGONIC_CPU");

}  // namespace agonic::field
