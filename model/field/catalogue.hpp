// The models at hand, and which of them answers for a date.
//
// model=auto: gufm1 before 1900, igrf14 to 2025, wmm2025 from 2025. Its spans are [start, end), the last end included.
// A dropped-in WMM (id beginning with wmm, degree 12, epoch after 2025) takes over from its epoch; the span before
// ends there, or where its own model ends if that is earlier. High-resolution and other models serve by name only.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/field/coefficients.hpp"
#include "model/units/problem.hpp"

namespace agonic::field {

/// A coefficient table and its sidecar as text, with the names to show when something is wrong in them.
struct CoefficientText {
  std::string table_name;
  std::string table;
  std::string sidecar_name;  ///< empty for a publisher's own layout
  std::string sidecar;
};

/// The texts compiled into the program, in catalogue order.
std::vector<CoefficientText> built_in_texts();

/// Which model answers, and the seam nearby if there is one.
struct Choice {
  const CoefficientSet* model = nullptr;
  /// With model=auto and the date within kSeamYears of the join of two models: the other one and the join.
  const CoefficientSet* neighbour = nullptr;
  double seam_year = 0;
};

/// Immutable after construction; safe to share among threads.
class Catalogue {
 public:
  /// Reads and verifies all texts (own layout with sidecar, the publishers' WMM coefficient layout, SHC).
  /// Throws BadCoefficients with file and line. Two models of one id are refused, unless their coefficients are the
  /// same: then the first one stays.
  explicit Catalogue(const std::vector<CoefficientText>& texts);
  Catalogue(Catalogue&&) noexcept;
  ~Catalogue();

  /// @param name `auto` or a model id. Refuses an unknown name (with those known) and a date outside the span
  /// (with the span or model that would do).
  [[nodiscard]] Result<Choice> choose(std::string_view name, double decimal_year) const;
  [[nodiscard]] const CoefficientSet* find(std::string_view id) const;
  [[nodiscard]] const std::vector<std::unique_ptr<const CoefficientSet>>& models() const;
  /// First and last decimal year that model=auto serves.
  [[nodiscard]] double first_year() const;
  [[nodiscard]] double last_year() const;

 private:
  std::vector<std::unique_ptr<const CoefficientSet>> models_;
  struct AutoSpan {
    const CoefficientSet* model;
    double from, to;  // [from, to), the last end included
  };
  std::vector<AutoSpan> auto_spans_;
};

/// Within this distance of a join of two models in model=auto, their step in D is named and added. Judgement.
inline constexpr double kSeamYears = 1.0;

}  // namespace agonic::field
