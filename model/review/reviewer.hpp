// A whole data set looked at: rows in as for a correction, a report out. Nothing is changed.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "model/exchange/batch.hpp"
#include "model/review/findings.hpp"
#include "model/units/problem.hpp"

namespace agonic::review {

/// A review holds the whole file, so that it is bounded: some 250 bytes a row.
inline constexpr std::size_t kMostRows = 200'000;
inline constexpr std::uint64_t kMostBytes = std::uint64_t{64} << 20;

/// How the answer is written: application/json, text/plain, text/html.
enum class Format { json, text, html };
std::string_view media_type(Format format) noexcept;
/// json, text, html and the media types.
std::optional<Format> format_of_name(std::string_view name);

/// One review. Feed bytes in pieces of any size. Not thread-safe; the catalogue must outlive it.
class Reviewer {
 public:
  /// @param batch as for a correction (`out`, `gzip` and `executor` are not used); a parameter `group_by` beside the
  ///   defaults names a column of the file's own to group by as well
  static Result<std::unique_ptr<Reviewer>> create(const field::Catalogue& catalogue, exchange::BatchOptions batch);
  ~Reviewer();
  Reviewer(const Reviewer&) = delete;
  Reviewer& operator=(const Reviewer&) = delete;
  /// @return a problem with the file as a whole, or Code::too_large: stop feeding.
  std::optional<Problem> feed(std::string_view bytes);
  /// Call once, after the last feed() that returned nothing.
  Result<Report> finish();
  [[nodiscard]] std::uint64_t rows() const;

 private:
  Reviewer();
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

/// The report written out. Deterministic.
std::string to_json(const Report& report);
std::string to_text(const Report& report);
/// For people on a page: self-contained, without scripts, fit to be printed.
std::string to_html(const Report& report);
/// In one of the formats.
std::string write(const Report& report, Format format);
/// One line for people: "312 rows, 4 refused; 3 questions, 2 warnings".
std::string to_line(const Report& report);
/// The counts as one JSON object on one line, in ASCII: it also travels in an HTTP header.
std::string summary_json(const Report& report);

/// Looks at a notebook: what Reviewer does behind the last row.
Report look_at(const field::Catalogue& catalogue, std::string_view model, Notebook notebook);

}  // namespace agonic::review
