// A text read line by line, strictly: whatever is wrong is thrown with the file's name and the line.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "model/units/problem.hpp"

namespace agonic::field {

/// The lines of one text. Holds views into it: the text must outlive the reader.
class Lines {
 public:
  Lines(std::string file, std::string_view text) : file_(std::move(file)), rest_(text) {}

  /// Goes to the next line; false at the end of the text. A CR before the LF is dropped.
  bool next();
  /// The line's next word (between blanks); empty when there is none.
  std::string_view word();
  /// The next word as a finite number; throws when there is none, naming `what`.
  double number(std::string_view what);
  int integer(std::string_view what);
  /// Throws when the line has further words.
  void end_of_line();
  [[nodiscard]] std::string_view line() const { return line_; }
  [[nodiscard]] int line_number() const { return number_; }
  /// Throws BadCoefficients at this line.
  [[noreturn]] void fail(const std::string& what) const;
  [[noreturn]] void fail_at(int line, const std::string& what) const { throw BadCoefficients(file_, line, what); }

 private:
  std::string file_;
  std::string_view rest_;
  std::string_view line_;
  std::string_view words_;
  int number_ = 0;
};

}  // namespace agonic::field
