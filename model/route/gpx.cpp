#include "model/route/gpx.hpp"

#include <expat.h>

#include <array>
#include <memory>

#include "model/units/number.hpp"

namespace agonic::route {
namespace {

constexpr char kBetween = '\n';  // stands in no name and no namespace

// The plain name of an element of the format; empty for what belongs to another (extensions).
std::string_view own_name(std::string_view full) {
  const auto at = full.rfind(kBetween);
  if (at == std::string_view::npos) return full;  // without a namespace: as in files written by hand
  const std::string_view space = full.substr(0, at);
  if (space == "http://www.topografix.com/GPX/1/1" || space == "http://www.topografix.com/GPX/1/0")
    return full.substr(at + 1);
  return {};
}

std::optional<GpxPart> part_of(std::string_view name) {
  if (name == "wpt") return GpxPart::waypoints;
  if (name == "rtept") return GpxPart::route;
  if (name == "trkpt") return GpxPart::track;
  return std::nullopt;
}

class Reader {
 public:
  Reader() : parser_(XML_ParserCreateNS(nullptr, kBetween), XML_ParserFree) {
    if (!parser_) throw std::bad_alloc();
    XML_SetUserData(parser_.get(), this);
    XML_SetElementHandler(parser_.get(), &Reader::begin, &Reader::end);
    XML_SetCharacterDataHandler(parser_.get(), &Reader::text);
    XML_SetStartDoctypeDeclHandler(parser_.get(), &Reader::doctype);
    XML_SetEntityDeclHandler(parser_.get(), &Reader::entity);
  }

  Result<std::vector<GpxPoint>> read(std::string_view all) {
    // In pieces, so that a refusal comes before the whole file is looked at.
    constexpr std::size_t kPiece = 1 << 16;
    for (std::size_t at = 0;; at += kPiece) {
      const std::string_view piece = all.substr(std::min(at, all.size()), kPiece);
      const bool last = at + kPiece >= all.size();
      if (XML_Parse(parser_.get(), piece.data(), static_cast<int>(piece.size()), last ? 1 : 0) != XML_STATUS_OK) {
        if (refusal_) return *refusal_;
        return broken(XML_ErrorString(XML_GetErrorCode(parser_.get())), "Mend the file, or export it again");
      }
      if (last) break;
    }
    if (points_.empty())
      return Problem{Code::missing_value,
                     "gpx",
                     {},
                     "the file holds no point of a track, a route or a waypoint",
                     "Export the track or the waypoints into it"};
    return std::move(points_);
  }

 private:
  [[nodiscard]] Problem broken(std::string what, std::string remedy) const {
    return {Code::file_malformed,
            "line " + std::to_string(XML_GetCurrentLineNumber(parser_.get())),
            {},
            std::move(what),
            std::move(remedy)};
  }
  void refuse(const char* what, const char* remedy) {
    if (!refusal_) refusal_ = broken(what, remedy);
    XML_StopParser(parser_.get(), XML_FALSE);
  }

  void begin(std::string_view full, const XML_Char** attributes) {
    const std::string_view name = own_name(full);
    if (++depth_ > kGpxDeepest) return refuse("elements are nested deeper than any track needs", "Export it again");
    if (depth_ == 1 && name != "gpx")
      return refuse("the outermost element is not gpx of GPX 1.0 or 1.1", "Give a GPX file, or declare the right type");
    if (!point_) {
      const auto part = part_of(name);
      if (!part) return;
      if (points_.size() == kGpxMost) return refuse("there are too many points", "Give it in parts");
      point_depth_ = depth_;
      point_ = GpxPoint{*part, static_cast<std::uint64_t>(XML_GetCurrentLineNumber(parser_.get())), {}, {}, {}, {}, {}};
      for (; *attributes != nullptr; attributes += 2) {
        const std::string_view key = attributes[0], value = attributes[1];
        if (value.size() > kGpxLongest) return refuse("an attribute is too long", "Export it again");
        if (key == "lat") point_->lat = value;
        if (key == "lon") point_->lon = value;
      }
    } else if (depth_ == point_depth_ + 1) {
      target_ = name == "ele"    ? &point_->ele
                : name == "time" ? &point_->time
                : name == "name" ? &point_->name
                                 : nullptr;
    }
  }
  void end() {
    if (point_ && depth_ == point_depth_) {
      for (std::string* cell : {&point_->ele, &point_->time, &point_->name}) *cell = std::string(trim(*cell));
      points_.push_back(std::move(*point_));
      point_.reset();
    }
    if (depth_ == point_depth_ + 1) target_ = nullptr;
    --depth_;
  }
  void text(std::string_view piece) {
    if (target_ == nullptr || depth_ != point_depth_ + 1) return;
    if (target_->size() + piece.size() > kGpxLongest) return refuse("a text is too long", "Shorten it");
    *target_ += piece;
  }

  static Reader& self(void* data) { return *static_cast<Reader*>(data); }
  static void begin(void* data, const XML_Char* name, const XML_Char** attributes) {
    self(data).begin(name, attributes);
  }
  static void end(void* data, const XML_Char* /*name*/) { self(data).end(); }
  static void text(void* data, const XML_Char* piece, int size) {
    self(data).text({piece, static_cast<std::size_t>(size)});
  }
  static void doctype(void* data, const XML_Char* /*name*/, const XML_Char* /*system*/, const XML_Char* /*public_id*/,
                      int /*internal*/) {
    self(data).refuse("a document type is declared, which GPX has no need of", "Take the DOCTYPE out");
  }
  static void entity(void* data, const XML_Char* /*name*/, int /*parameter*/, const XML_Char* /*value*/, int /*size*/,
                     const XML_Char* /*base*/, const XML_Char* /*system*/, const XML_Char* /*public_id*/,
                     const XML_Char* /*notation*/) {
    self(data).refuse("an entity is declared, which GPX has no need of", "Take the declaration out");
  }

  std::unique_ptr<XML_ParserStruct, void (*)(XML_Parser)> parser_;
  std::vector<GpxPoint> points_;
  std::optional<GpxPoint> point_;
  std::optional<Problem> refusal_;
  std::string* target_ = nullptr;
  int depth_ = 0, point_depth_ = 0;
};

}  // namespace

std::string_view word(GpxPart part) noexcept {
  constexpr std::array<std::string_view, 3> words{"waypoints", "route", "track"};
  return words[static_cast<std::size_t>(part)];
}

Result<std::vector<GpxPoint>> read_gpx(std::string_view text) { return Reader().read(text); }

}  // namespace agonic::route
