// What the jobs of the desk have in common: notes, columns of text, angles in the notebook's own style, the place.
#pragma once

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/desk/table.hpp"
#include "model/lookup/lookup.hpp"
#include "model/reading/notation.hpp"

namespace agonic::desk {

/// Something noticed about the whole document.
struct Note {
  std::string_view code;  ///< plain hyphenated words
  std::string text;       ///< full sentences
};
std::string notes_json(const std::vector<Note>& notes);
/// A line each, "note: ...", wrapped.
std::string notes_text(const std::vector<Note>& notes);

/// Columns side by side, for people. The first row is the head.
class TextTable {
 public:
  /// @param left how many of the first columns stand at the left; the others at the right, but for `words`
  /// @param words a column of words, which stands at the left as well; 0: none
  explicit TextTable(std::size_t left, std::size_t words = 0) : left_(left), words_(words) {}
  void add(std::vector<std::string> cells) { rows_.push_back(std::move(cells)); }
  [[nodiscard]] bool empty() const { return rows_.size() < 2; }
  [[nodiscard]] std::string text() const;

 private:
  std::size_t left_, words_;
  std::vector<std::vector<std::string>> rows_;
};

/// An azimuth as the notebook writes them: N35°30'E, 187°51' or 187.85. A dash where there is none.
std::string azimuth_words(const std::optional<double>& azimuth_deg, const reading::AzimuthStyle& style);
/// An angle with its sign: +0°30' or +0.50. A dash where there is none.
std::string turn_words(const std::optional<double>& degrees, const reading::AzimuthStyle& style);

/// The style of the first azimuth in these columns that reads well.
reading::AzimuthStyle style_of(const Table& table, std::initializer_list<std::string_view> names);

/// How texts of the table are read: its decimal mark, and `letters`.
Result<reading::TextRules> text_rules(const Table& table, const Parameters& parameters);
/// An azimuth in the unit, the problem under the column's name.
Result<double> azimuth_of(std::string_view text, std::string_view name, reading::AzimuthUnit unit,
                          const reading::TextRules& rules);

/// The declination of the document's one place and date; nothing where neither is given. Refuses a date to come.
Result<std::optional<lookup::Answer>> where(const field::Catalogue& catalogue, geodesy::Grids& grids,
                                            const Parameters& parameters, std::chrono::sys_days today);
/// Refuses a place where the needle is unusable, unless force_unusable says yes.
std::optional<Problem> needle_problem(const lookup::Answer& answer, const Parameters& parameters);
/// "3.28 E (+3.28) +/- 0.36 (wmm2025)".
std::string declination_words(const lookup::Answer& answer);
/// It as members of a JSON object, without the braces.
std::string where_json(const lookup::Answer& answer);

/// Refuses a table that has one of the added names already.
std::optional<Problem> name_taken(const Table& table, const Added& added);

std::string json_text(std::string_view text);                  ///< quoted
std::string json_number(const std::optional<double>& number);  ///< unrounded, or null
/// {"rows":5,"refused":1,"notes":["..."]}
std::string summary_json(const Answer& answer, const std::vector<Note>& notes);
/// "5 lines, 1 refused: line 7" with the lines (rows in JSON) of those refused.
std::string summary_line(const Table& table, const std::vector<std::optional<Problem>>& refused, std::string_view one);

/// A line for each row that was refused: where, and why.
std::string refused_text(const Table& table, const std::vector<std::optional<Problem>>& refused);

// The jobs, one file each.
Result<Answer> traverse(const field::Catalogue& catalogue, geodesy::Grids& grids, const Request& request);
Result<Answer> rotation(const field::Catalogue& catalogue, geodesy::Grids& grids, const Request& request);
Result<Answer> swing(const field::Catalogue& catalogue, geodesy::Grids& grids, const Request& request);

}  // namespace agonic::desk
