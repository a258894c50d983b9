#include "model/review/reviewer.hpp"

#include "model/exchange/watch.hpp"
#include "model/review/gather.hpp"
#include "model/units/number.hpp"

namespace agonic::review {

std::string_view media_type(Format format) noexcept {
  switch (format) {
    case Format::json:
      return "application/json";
    case Format::text:
      return "text/plain";
    case Format::html:
      return "text/html";
  }
  return "application/json";
}

std::optional<Format> format_of_name(std::string_view name) {
  const std::string word = lower(trim(name.substr(0, name.find(';'))));
  for (const Format format : {Format::json, Format::text, Format::html})
    if (word == media_type(format)) return format;
  if (word == "json") return Format::json;
  if (word == "text") return Format::text;
  if (word == "html") return Format::html;
  return std::nullopt;
}

struct Reviewer::Inside {
  Inside(const field::Catalogue& models, const std::string& group_column, std::string instrument)
      : catalogue(models), group_by(group_column), gatherer(group_column, std::move(instrument)) {}
  const field::Catalogue& catalogue;
  std::string model, group_by;
  Gatherer gatherer;
  std::unique_ptr<exchange::BatchCorrector> batch;
  std::uint64_t bytes = 0;
};

Reviewer::Reviewer() = default;
Reviewer::~Reviewer() = default;

namespace {

Problem too_many_rows() {
  return {Code::too_large, "file", "", "a review holds the whole file, at most " + std::to_string(kMostRows) + " rows",
          "Review it in parts, by year or by sheet; a correction takes files of any length"};
}

}  // namespace

Result<std::unique_ptr<Reviewer>> Reviewer::create(const field::Catalogue& catalogue, exchange::BatchOptions batch) {
  std::string group_by;
  if (const auto given = batch.defaults.get("group_by")) group_by = lower(trim(*given));
  batch.defaults.values.erase("group_by");
  const std::string instrument(trim(batch.defaults.get("instrument").value_or("")));
  std::unique_ptr<Reviewer> reviewer(new Reviewer);
  reviewer->inside_ = std::make_unique<Inside>(catalogue, group_by, instrument);
  Inside& in = *reviewer->inside_;
  in.model = lower(trim(batch.defaults.get("model").value_or("auto")));
  if (in.model.empty()) in.model = "auto";
  auto made = exchange::watch_batch(catalogue, std::move(batch), in.gatherer);
  if (!made) return made.problem();
  in.batch = std::move(*made);
  return Result<std::unique_ptr<Reviewer>>(std::move(reviewer));
}

std::optional<Problem> Reviewer::feed(std::string_view bytes) {
  Inside& in = *inside_;
  in.bytes += bytes.size();
  if (in.bytes > kMostBytes)
    return Problem{Code::too_large, "file", "", "a review holds the whole file, at most 64 MiB",
                   "Review it in parts, by year or by sheet; a correction takes files of any length"};
  if (auto problem = in.batch->feed(bytes)) return problem;
  if (in.gatherer.rows() > kMostRows) return too_many_rows();
  return std::nullopt;
}

Result<Report> Reviewer::finish() {
  Inside& in = *inside_;
  const auto summary = in.batch->finish();
  if (!summary) return summary.problem();
  if (in.gatherer.rows() > kMostRows) return too_many_rows();
  if (!in.group_by.empty() && !in.gatherer.group_seen())
    return Problem{Code::columns_missing, "group_by", in.group_by, "no row has anything in a column of this name",
                   "Give the name of a column of the file"};
  return look_at(in.catalogue, in.model, in.gatherer.take());
}

std::uint64_t Reviewer::rows() const { return inside_->gatherer.rows(); }

}  // namespace agonic::review
