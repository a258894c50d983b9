// The engine of the service: the model, with its catalogue loaded once.
#pragma once

#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "model/exchange/thread_executor.hpp"
#include "model/field/catalogue.hpp"
#include "model/field/selftest.hpp"
#include "model/geodesy/grid.hpp"
#include "server/engine.hpp"
#include "server/service.hpp"

namespace agonic::server {

/// Thread-safe. The catalogue is immutable; grids, which are not shared, are lent to one lookup at a time.
class ModelEngine final : public Engine {
 public:
  /// Runs the self-check. Throws BadCoefficients with file and line.
  ModelEngine(const std::vector<field::CoefficientText>& texts, Clock now);

  Result<Answer> declination(const Parameters& parameters) override;
  Result<Answer> setting(const Parameters& parameters) override;
  Result<Answer> sun(const Parameters& parameters) override;
  Result<Answer> chart(const Parameters& parameters, chart::Format format) override;
  Result<FitAnswer> fit(bool json, std::string_view body, const Parameters& parameters, std::string_view why) override;
  std::string models() override { return models_; }
  Result<std::unique_ptr<exchange::BatchCorrector>> correct(const BatchRequest& batch,
                                                            exchange::ByteSink& sink) override;
  Result<std::unique_ptr<review::Reviewer>> review(const BatchRequest& batch) override;
  Result<desk::Answer> work(desk::Job job, desk::Request request) override;
  Result<route::Answer> route(route::Request request) override;
  Result<std::string> card(const Parameters& parameters, const instrument::Registry& instruments,
                           card::Format format) override;
  Result<std::string> route_card(route::Request request, const instrument::Registry& instruments,
                                 card::Format format) override;
  [[nodiscard]] bool ready() const override { return ready_; }
  [[nodiscard]] std::string digest() const override { return digest_; }
  /// Which check values were not reproduced, in words; empty if all were.
  [[nodiscard]] const std::string& failures() const { return failures_; }

 private:
  class Lent;
  [[nodiscard]] std::chrono::sys_days today() const;

  const field::Catalogue catalogue_;
  const Clock now_;
  bool ready_ = false;
  std::string failures_;
  std::string digest_;
  std::string models_;
  std::mutex grids_mutex_;
  exchange::ThreadExecutor batch_threads_;
  std::vector<std::unique_ptr<geodesy::Grids>> grids_;  // those not lent; as many as lookups ever ran at once
};

}  // namespace agonic::server
