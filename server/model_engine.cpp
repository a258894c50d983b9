#include "server/model_engine.hpp"

#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>
#include <thread>

#include "coefficients/coastline/coastline.hpp"
#include "model/lookup/lookup.hpp"
#include "model/lookup/setting.hpp"
#include "model/lookup/sun.hpp"
#include "model/route/card.hpp"
#include "model/sightings/proposals.hpp"
#include "model/sightings/report.hpp"
#include "server/digest.hpp"

namespace agonic::server {

namespace {

// Batches take what lookups leave: a tenth of a lookup's claim to a core, and all of it when nobody else wants it. With
// less a busy machine would leave them waiting for seconds.
void give_way() {
  constexpr int kNiceness = 10;
  ::setpriority(PRIO_PROCESS, static_cast<id_t>(::gettid()), kNiceness);
}

}  // namespace

// One set of grids, given back at the end of a lookup.
class ModelEngine::Lent {
 public:
  explicit Lent(ModelEngine& engine) : engine_(engine) {
    const std::lock_guard lock(engine_.grids_mutex_);
    if (engine_.grids_.empty()) return;
    grids_ = std::move(engine_.grids_.back());
    engine_.grids_.pop_back();
  }
  ~Lent() {
    if (!grids_) return;
    const std::lock_guard lock(engine_.grids_mutex_);
    engine_.grids_.push_back(std::move(grids_));
  }
  Lent(const Lent&) = delete;
  Lent& operator=(const Lent&) = delete;

  geodesy::Grids& get() {
    if (!grids_) grids_ = std::make_unique<geodesy::Grids>();
    return *grids_;
  }

 private:
  ModelEngine& engine_;
  std::unique_ptr<geodesy::Grids> grids_;
};

ModelEngine::ModelEngine(const std::vector<field::CoefficientText>& texts, Clock now)
    : catalogue_(texts),
      now_(std::move(now)),
      batch_threads_(std::max<std::size_t>(1, std::thread::hardware_concurrency()), give_way) {
  const std::vector<field::SelftestRow> rows = field::selftest(catalogue_);
  ready_ = field::all_passed(rows);
  for (const field::SelftestRow& row : rows)
    if (!row.passed()) failures_ += (failures_.empty() ? "" : "; ") + row.name + ": " + row.worst;
  std::string all = AGONIC_VERSION;
  for (const auto& model : catalogue_.models()) all += '\n' + model->id + ' ' + model->sha256;
  digest_ = sha256_hex(all);
  models_ = lookup::models_json(catalogue_);
}

std::chrono::sys_days ModelEngine::today() const { return std::chrono::floor<std::chrono::days>(now_()); }

Result<Answer> ModelEngine::declination(const Parameters& parameters) {
  if (auto problem =
          parameters.unknown({"place", "lat", "lon", "height_m", "date", "model", "crs", "letters", "date_order"}))
    return *std::move(problem);
  const Result<lookup::Query> query = lookup::parse_query(parameters, today());
  if (!query) return query.problem();
  Lent grids(*this);
  const Result<lookup::Answer> answer = lookup::declination(catalogue_, grids.get(), *query);
  if (!answer) return answer.problem();
  return Answer{lookup::to_json(*answer), query->date_is_today};
}

Result<Answer> ModelEngine::setting(const Parameters& parameters) {
  if (auto problem = parameters.unknown({"place", "lat", "lon", "height_m", "date", "model", "crs", "letters",
                                         "date_order", "graduation", "circle", "until", "east_turn", "force_unusable"}))
    return *std::move(problem);
  const Result<lookup::SettingQuery> query = lookup::parse_setting_query(parameters, today());
  if (!query) return query.problem();
  Lent grids(*this);
  const Result<lookup::SettingAnswer> answer = lookup::setting(catalogue_, grids.get(), *query);
  if (!answer) return answer.problem();
  return Answer{lookup::to_json(*answer), query->where.date_is_today};
}

Result<Answer> ModelEngine::sun(const Parameters& parameters) {
  if (auto problem = parameters.unknown({"place", "lat", "lon", "height_m", "letters", "time", "table", "step_minutes",
                                         "pressure_hpa", "temperature_c"}))
    return *std::move(problem);
  const Result<lookup::SunQuery> query = lookup::parse_sun_query(parameters, today());
  if (!query) return query.problem();
  return Answer{lookup::to_json(lookup::sun(*query)), query->is_today};
}

Result<Answer> ModelEngine::chart(const Parameters& parameters, chart::Format format) {
  if (auto problem = parameters.unknown({"bbox", "quantity", "date", "date_order", "model", "height_m", "interval",
                                         "step_deg", "zoom", "width_px", "f"}))
    return *std::move(problem);
  const Result<chart::Query> query = chart::parse_query(parameters, today());
  if (!query) return query.problem();
  const Result<chart::Chart> drawn = chart::chart(catalogue_, *query);
  if (!drawn) return drawn.problem();
  Result<std::string> document = chart::document(*drawn, format, coefficients::coastline_text());
  if (!document) return document.problem();
  return Answer{std::move(document.value()), query->is_today};
}

Result<FitAnswer> ModelEngine::fit(bool json, std::string_view body, const Parameters& given, std::string_view why) {
  Parameters parameters = given;
  const auto rows = json ? sightings::read_json(body, parameters) : sightings::read_csv(body, parameters);
  if (!rows) return rows.problem();
  Lent grids(*this);
  const auto report = sightings::fit(catalogue_, grids.get(), *rows, parameters, today());
  if (!report) return report.problem();
  FitAnswer answer{to_json(*report),
                   to_text(*report, false),
                   to_text(*report, true),
                   report->sightings.size(),
                   report->refused,
                   report->left_out,
                   {}};
  for (const sightings::InstrumentReport& found : report->instruments)
    answer.found.push_back({found.instrument, sightings::proposals(found, why)});
  return answer;
}

Result<std::unique_ptr<exchange::BatchCorrector>> ModelEngine::correct(const BatchRequest& batch,
                                                                       exchange::ByteSink& sink) {
  exchange::BatchOptions options;
  options.in = batch.in;
  options.out = batch.out;
  options.gzip = batch.gzip;
  options.defaults = batch.parameters;
  options.instruments = batch.instruments;
  options.today = today();
  options.executor = &batch_threads_;
  return exchange::BatchCorrector::create(catalogue_, std::move(options), sink);
}

Result<std::unique_ptr<review::Reviewer>> ModelEngine::review(const BatchRequest& batch) {
  exchange::BatchOptions options;
  options.in = batch.in;
  options.defaults = batch.parameters;
  options.instruments = batch.instruments;
  options.today = today();
  return review::Reviewer::create(catalogue_, std::move(options));
}

Result<desk::Answer> ModelEngine::work(desk::Job job, desk::Request request) {
  request.today = today();
  Lent grids(*this);
  return desk::work(job, catalogue_, grids.get(), request);
}

Result<route::Answer> ModelEngine::route(route::Request request) {
  request.today = today();
  return route::work(catalogue_, request);
}

Result<std::string> ModelEngine::card(const Parameters& parameters, const instrument::Registry& instruments,
                                      card::Format format) {
  if (auto problem =
          parameters.unknown({"place", "lat", "lon", "height_m", "date", "model", "crs", "letters", "date_order",
                              "graduation", "circle", "until", "east_turn", "force_unusable", "name", "instrument"}))
    return *std::move(problem);
  Lent grids(*this);
  const Result<card::Sheet> sheet = card::gather(catalogue_, grids.get(), parameters, &instruments, today());
  if (!sheet) return sheet.problem();
  return card::print(*sheet, format);
}

Result<std::string> ModelEngine::route_card(route::Request request, const instrument::Registry& instruments,
                                            card::Format format) {
  request.today = today();
  Lent grids(*this);
  const Result<card::Sheet> sheet = route::card_of(catalogue_, grids.get(), request, &instruments);
  if (!sheet) return sheet.problem();
  return card::print(*sheet, format);
}

}  // namespace agonic::server
