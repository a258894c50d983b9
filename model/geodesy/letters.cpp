#include <algorithm>
#include <string>

#include "model/geodesy/place.hpp"
#include "model/units/number.hpp"

namespace agonic::geodesy {
namespace {

struct Language {
  std::string_view code;
  LetterO o;
};
constexpr Language kLanguages[] = {
    {"en", LetterO::undeclared}, {"es", LetterO::west}, {"fr", LetterO::west}, {"it", LetterO::west},
    {"pt", LetterO::west},       {"ca", LetterO::west}, {"gl", LetterO::west}, {"de", LetterO::east},
    {"nl", LetterO::east},       {"sv", LetterO::east},
};

constexpr std::string_view kRemedy =
    "Give a language (es, fr, it, pt: O is west; de, nl, sv: O is east) and, for 18S, band or hemisphere.";

Problem contradiction(std::string_view text, std::string message) {
  return {Code::contradiction, "letters", std::string(text), std::move(message), "Give one of them."};
}

}  // namespace

Result<Letters> parse_letters(std::string_view text) {
  Letters letters;
  const std::string words = lower(text);
  std::size_t at = 0;
  while ((at = words.find_first_not_of(", \t;", at)) != std::string::npos) {
    const std::size_t end = std::min(words.find_first_of(", \t;", at), words.size());
    const std::string_view word = std::string_view(words).substr(at, end - at);
    at = end;
    if (word == "band" || word == "hemisphere") {
      const auto zone_s = word == "band" ? Letters::ZoneS::band : Letters::ZoneS::hemisphere;
      if (letters.zone_s != Letters::ZoneS::undeclared && letters.zone_s != zone_s)
        return contradiction(text, "S cannot be both a band and a hemisphere");
      letters.zone_s = zone_s;
      continue;
    }
    const Language* found = nullptr;
    for (const Language& language : kLanguages)
      if (language.code == word) found = &language;
    if (!found)
      return Problem{Code::unknown_name, "letters", std::string(text),
                     printable(word) + " is no way of reading letters", std::string(kRemedy)};
    if (found->o == LetterO::undeclared) continue;
    if (letters.o != LetterO::undeclared && letters.o != found->o)
      return contradiction(text, "O is west in one of these languages and east in the other");
    letters.o = found->o;
  }
  return letters;
}

}  // namespace agonic::geodesy
