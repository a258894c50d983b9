#include <algorithm>
#include <cmath>

#include "model/lookup/lookup.hpp"
#include "model/lookup/setting.hpp"
#include "model/units/declination_text.hpp"
#include "model/units/number.hpp"

namespace agonic::lookup {

std::string to_line(const Answer& answer) {
  return declination_text(answer.field.elements.declination_deg) + " +/- " + format_fixed(answer.field.sigma_deg, 2) +
         "  " + answer.field.model->id;
}

std::string to_text(const SettingAnswer& answer) {
  const auto& s = answer.setting;
  const int decimals = instrument::decimals_of(answer.circle.graduation_deg);
  const int finer = std::min(decimals + 2, 3);
  const double d = answer.declination.field.elements.declination_deg;
  // "subtract 0.31 from", "add 0.31 to": what goes with "every reading".
  const auto to_readings = [](double turn, const std::string& size) {
    return (turn < 0 ? "subtract " : "add ") + size + (turn < 0 ? " from" : " to") + " every reading";
  };
  std::string text;
  if (!answer.circle.turnable) {
    text = "The circle cannot be turned: " + to_readings(d, format_fixed(std::abs(d), 2)) + " (declination " +
           declination_text(d) + ").\n";
    if (s.holds_until)
      text += "That sum stays within half a graduation until " + *s.holds_until +
              (s.holds_to_the_end ? ", where the models end.\n" : ".\n");
    return text;
  }
  if (s.set_to_deg == 0) {
    text = "Leave the circle at 0.\n";
  } else {
    text = "Set the circle to " + declination_text(s.set_to_deg, decimals) + ": turn it " + std::string(word(s.turn)) +
           ".\n";
    text += "Check: sighting along the needle it reads " +
            instrument::reads_text(s.reads_along_needle_deg, answer.circle) + ". If it reads " +
            instrument::reads_text(s.reads_if_backwards_deg, answer.circle) + ", it is set backwards.\n";
  }
  const auto size = [&](double turn) { return format_fixed(std::abs(turn), finer); };
  const auto nothing = [&](double turn) { return size(turn).find_first_not_of("0.") == std::string::npos; };
  if (answer.until && !(nothing(s.leftover_deg) && nothing(s.leftover_at_end_deg)))
    text += "Left over: " + to_readings(s.leftover_deg, size(s.leftover_deg)) + " on the first day, " +
            to_readings(s.leftover_at_end_deg, size(s.leftover_at_end_deg)) + " on the last; at most " +
            size(s.largest_leftover_deg) + " over the span.\n";
  else if (!nothing(s.leftover_deg))
    text += "Left over: " + to_readings(s.leftover_deg, size(s.leftover_deg)) + " in the notebook.\n";
  if (!nothing(s.largest_leftover_deg))
    text += "Or leave the notebook as read and let 'agonic correct' do the sum: never both.\n";
  if (!s.holds_until)
    text += "It is off by more than half a graduation on the first day.\n";
  else if (s.holds_to_the_end)
    text += "It stays within half a graduation until " + *s.holds_until + " at least, where the models end.\n";
  else
    text += "It stays within half a graduation until " + *s.holds_until + ".\n";
  return text;
}

}  // namespace agonic::lookup
