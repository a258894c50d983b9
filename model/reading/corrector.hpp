// A chunk of rows to their outcomes: the one path that every door (service, command, SQL, clients) goes through.
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "model/field/catalogue.hpp"
#include "model/reading/checks.hpp"
#include "model/reading/columns.hpp"
#include "model/reading/rules.hpp"
#include "model/units/problem.hpp"

namespace agonic::reading {

enum class Status { corrected, unchanged, refused };
std::string_view word(Status status) noexcept;

/// What is added to one row. Numbers are unrounded; an empty optional or text is void.
struct Outcome {
  Status status = Status::refused;
  std::array<std::optional<double>, kAdded> numbers;
  std::string date_used, model, remark, azimuth_true_text;
  std::vector<std::string_view> checks;  ///< codes; of a refused row its one reason
  std::optional<Problem> problem;        ///< of a refused row

  [[nodiscard]] const std::optional<double>& number(Added added) const {
    return numbers[static_cast<std::size_t>(added)];
  }
  std::optional<double>& number(Added added) { return numbers[static_cast<std::size_t>(added)]; }
};

/// A refused row.
Outcome refused(Problem problem);

/// Corrects chunks of rows. Each outcome depends on its own row alone. Not thread-safe (it holds the grids): one a
/// thread.
class Corrector {
 public:
  Corrector(const field::Catalogue& catalogue, Rules rules);
  Corrector(Corrector&&) noexcept;
  ~Corrector();
  std::vector<Outcome> correct(std::span<const Cells> rows);
  [[nodiscard]] const Rules& rules() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace agonic::reading
