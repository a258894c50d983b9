#include "model/field/catalogue.hpp"

#include <algorithm>
#include <cmath>

#include "coefficients/built_in.hpp"
#include "model/field/read_own.hpp"
#include "model/field/read_publisher.hpp"
#include "model/units/number.hpp"

namespace agonic::field {
namespace {

// Where the long models hand over in model=auto.
constexpr double kIgrfFrom = 1900;
constexpr double kWmmFrom = 2025;
constexpr int kWmmDegree = 12;

std::string year_text(double year) {
  const std::string text = format_trimmed(year, 4);
  return text.find('.') == std::string::npos ? text + ".0" : text;
}

std::string span_text(double from, double to) { return year_text(from) + " to " + year_text(to); }

bool same_coefficients(const CoefficientSet& a, const CoefficientSet& b) {
  return a.degree == b.degree && a.behaviour == b.behaviour && a.times == b.times && a.sets == b.sets;
}

// The year from which a model serves in model=auto; empty: by name only.
std::optional<double> auto_from(const CoefficientSet& model) {
  if (model.id == "gufm1") return model.valid_from;
  if (model.id == "igrf14") return kIgrfFrom;
  if (model.id == "wmm2025") return kWmmFrom;
  const bool newer_wmm = model.id.starts_with("wmm") && model.degree == kWmmDegree &&
                         model.behaviour == TimeBehaviour::linear && model.epoch > kWmmFrom;
  return newer_wmm ? std::optional(model.epoch) : std::nullopt;
}

}  // namespace

std::vector<CoefficientText> built_in_texts() {
  std::vector<CoefficientText> texts;
  for (const coefficients::BuiltIn& b : coefficients::built_in()) {
    const std::string folder = "coefficients/" + std::string(b.id);
    texts.push_back({folder + "/table.txt", std::string(b.table), folder + "/about.txt", std::string(b.about)});
  }
  return texts;
}

Catalogue::Catalogue(Catalogue&&) noexcept = default;
Catalogue::~Catalogue() = default;

Catalogue::Catalogue(const std::vector<CoefficientText>& texts) {
  for (const CoefficientText& text : texts) {
    CoefficientSet model = text.sidecar_name.empty() ? read_publisher(text) : read_own(text);
    if (model.id == "auto") throw BadCoefficients(text.table_name, 1, "the id 'auto' is taken by the choice by date");
    if (const CoefficientSet* known = find(model.id)) {
      if (same_coefficients(*known, model)) continue;
      throw BadCoefficients(text.table_name, 1,
                            "a model '" + model.id + "' is known already (" + known->title +
                                ") and has other coefficients; give this one another id or leave it out");
    }
    models_.push_back(std::make_unique<const CoefficientSet>(std::move(model)));
  }
  for (const auto& model : models_) {
    if (const auto from = auto_from(*model)) auto_spans_.push_back({model.get(), *from, model->valid_to});
  }
  std::stable_sort(auto_spans_.begin(), auto_spans_.end(),
                   [](const AutoSpan& a, const AutoSpan& b) { return a.from < b.from; });
  for (std::size_t i = 0; i + 1 < auto_spans_.size(); ++i) {
    if (auto_spans_[i].from == auto_spans_[i + 1].from) {
      throw BadCoefficients(auto_spans_[i + 1].model->id, 1,
                            "two models begin at " + year_text(auto_spans_[i].from) + ": '" + auto_spans_[i].model->id +
                                "' and '" + auto_spans_[i + 1].model->id + "'; leave one of them out");
    }
    auto_spans_[i].to = std::min(auto_spans_[i].to, auto_spans_[i + 1].from);
  }
}

const CoefficientSet* Catalogue::find(std::string_view id) const {
  for (const auto& model : models_)
    if (model->id == id) return model.get();
  return nullptr;
}

const std::vector<std::unique_ptr<const CoefficientSet>>& Catalogue::models() const { return models_; }
double Catalogue::first_year() const { return auto_spans_.empty() ? 0 : auto_spans_.front().from; }
double Catalogue::last_year() const { return auto_spans_.empty() ? 0 : auto_spans_.back().to; }

Result<Choice> Catalogue::choose(std::string_view name, double decimal_year) const {
  const auto serving = [&]() -> const AutoSpan* {
    const AutoSpan* at_its_end = nullptr;
    for (const AutoSpan& span : auto_spans_) {
      if (decimal_year >= span.from && decimal_year < span.to) return &span;
      if (decimal_year == span.to) at_its_end = &span;
    }
    return at_its_end;
  };
  const auto refuse = [&](std::string message, std::string remedy) {
    return Problem{Code::date_outside_models, "date", std::isfinite(decimal_year) ? year_text(decimal_year) : "",
                   std::move(message), std::move(remedy)};
  };
  if (name == "auto") {
    const AutoSpan* span = serving();
    if (span == nullptr) {
      std::string spans;
      for (const AutoSpan& s : auto_spans_) {
        if (!spans.empty()) spans += ", ";
        spans += s.model->id + " " + span_text(s.from, s.to);
      }
      return refuse("no model serves this date: " + spans,
                    "Give a date from " + span_text(first_year(), last_year()) + ".");
    }
    Choice choice{.model = span->model};
    const auto index = static_cast<std::size_t>(span - auto_spans_.data());
    const auto consider = [&](std::size_t before) {
      const AutoSpan& older = auto_spans_[before];
      const AutoSpan& newer = auto_spans_[before + 1];
      if (older.to != newer.from || std::abs(decimal_year - newer.from) > kSeamYears) return;
      if (choice.neighbour && std::abs(decimal_year - choice.seam_year) <= std::abs(decimal_year - newer.from)) return;
      choice.neighbour = before == index ? newer.model : older.model;
      choice.seam_year = newer.from;
    };
    if (index > 0) consider(index - 1);
    if (index + 1 < auto_spans_.size()) consider(index);
    return choice;
  }
  const CoefficientSet* model = find(name);
  if (model == nullptr) {
    std::string known = "auto";
    for (const auto& m : models_) known += ", " + m->id;
    return Problem{Code::model_unknown, "model", std::string(name), "no model of this name",
                   "Known are " + known + "."};
  }
  if (decimal_year >= model->valid_from && decimal_year <= model->valid_to) return Choice{.model = model};
  const AutoSpan* span = serving();
  return refuse(model->id + " serves " + span_text(model->valid_from, model->valid_to),
                span == nullptr
                    ? "Give a date in that span; model=auto serves " + span_text(first_year(), last_year()) + "."
                    : span->model->id + " or model=auto serves " + year_text(decimal_year) + ".");
}

}  // namespace agonic::field
