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

struct Reading;
struct Surroundings;

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
  /// As new, with the memory kept.
  void clear();
};

/// A refused row.
Outcome refused(Problem problem);
/// The same into an outcome that is as new.
void refuse(Problem problem, Outcome& out);

/// Corrects rows in chunks: add() them, evaluate(), then take their outcomes in order. Each outcome depends on its own
/// row alone. Not thread-safe (it holds the grids): one a thread.
///
/// Readings of one station share place, date and all that is not measured (Circumstances): within a chunk these are
/// read, evaluated and put into words once, however the rows are ordered.
class Corrector {
 public:
  Corrector(const field::Catalogue& catalogue, Rules rules);
  Corrector(Corrector&&) noexcept;
  ~Corrector();
  /// Reads a row. The cells are not needed any more afterwards.
  void add(const Cells& row);
  /// Works out field and grids of all rows added, as columns.
  void evaluate();
  /// The outcome of the next row, valid until the next call. Behind the last one add() begins a new chunk.
  const Outcome& next();
  /// The reading whose outcome was taken last; null where its cells could not be read. As long as the outcome.
  [[nodiscard]] const Reading* reading() const;
  /// With it: field and grids where it was taken.
  [[nodiscard]] const Surroundings* around() const;
  /// A whole chunk at once.
  std::vector<Outcome> correct(std::span<const Cells> rows);
  [[nodiscard]] const Rules& rules() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace agonic::reading
