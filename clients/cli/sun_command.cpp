#include <iostream>
#include <memory>

#include "clients/cli/commands.hpp"
#include "clients/cli/options.hpp"
#include "clients/cli/remote.hpp"
#include "model/lookup/sun.hpp"

namespace agonic::cli {
namespace {

struct SunWords {
  PlaceWords place;
  NamedOptions options;
};

int run(const SunWords& words, const Common& common) {
  Parameters parameters = words.options.parameters();
  words.place.put_into(parameters);
  if (!common.server.empty()) return remote_lookup(common, "/v1/sun", parameters);
  const auto query = lookup::parse_sun_query(parameters, today());
  if (!query) return report(query.problem(), common.json);
  const lookup::SunAnswer answer = lookup::sun(*query);
  if (common.json) {
    std::cout << to_json(answer) << '\n';
    return kDone;
  }
  std::cout << to_text(answer);
  for (std::size_t i = 0; i < answer.warnings.size(); ++i)
    std::cerr << "note: " << answer.warnings[i] << " [" << answer.warning_codes[i] << "]\n";
  return kDone;
}

}  // namespace

void add_sun(CLI::App& app, Common& common, int& exit) {
  auto words = std::make_shared<SunWords>();
  CLI::App* command = app.add_subcommand("sun", "Where the sun stands: a direction to check a compass by");
  command
      ->add_option("place", words->place.words,
                   "latitude and longitude (42.283 -71.35), degrees and minutes (42°17'N 71°21'W), UTM or UPS, or MGRS")
      ->expected(1, 8)
      ->option_text("WORDS");
  const auto named = [&](const std::string& flag, const std::string& parameter, const std::string& help) {
    command->add_option_function<std::string>(
        flag, [words, parameter](const std::string& value) { words->options.values[parameter] = value; }, help);
  };
  named("--time", "time", "2028-07-04T15:30Z, or with the offset of the clock: 2028-07-04T10:30-05:00; 1590 to 2100");
  command->add_flag_callback(
      "--table", [words] { words->options.values["table"] = "day"; },
      "the whole day on that clock, with rise, meridian passage and set; a date alone means the UTC day");
  named("--step", "step_minutes", "minutes from line to line of the table, 1 to 720; 60 if not given");
  named("--height,--height-m", "height_m", "metres; the sun does not notice");
  named("--pressure", "pressure_hpa", "air pressure at the place, hPa, for the refraction; 1010 if not given");
  named("--temperature", "temperature_c", "degrees Celsius, for the refraction; 10 if not given");
  named("--letters", "letters", "language of letters in the place, as for declination");
  add_common(*command, common);
  command->footer(
      "True azimuth from north, clockwise, and elevation, to 0.01 degree. The clock counts: the sun's azimuth moves "
      "by\n"
      "a quarter of a degree a minute and more. Never look at the sun or sight it directly.\n"
      "Examples:\n"
      "  agonic sun 42.283 -71.35 --time 2028-07-04T08:15-04:00\n"
      "  agonic sun 42.283 -71.35 --time 2028-07-04T00:00-04:00 --table --step 20\n"
      "  agonic sun \"42°17'N 71°21'W\" --time 1850-06-21T12:44Z --json");
  command->callback([words, &common, &exit] { exit = run(*words, common); });
}

}  // namespace agonic::cli
