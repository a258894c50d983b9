#include <algorithm>
#include <string>
#include <string_view>

#include "server/caching.hpp"
#include "server/endpoints/endpoints.hpp"
#include "server/negotiation.hpp"
#include "server/page_assets.hpp"
#include "server/problem_response.hpp"

namespace agonic::server {
namespace {

// A plain page that needs no script and no style: what is served where the other one was not built, and to who wants
// no script.
constexpr std::string_view kPage = R"html(<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>agonic: compass readings to true directions</title>
</head>
<body>
<main>
<h1>agonic</h1>
<p>Directions taken with a compass, referred to true and grid north: the declination for a place and date, what to
set on the circle of an instrument, and whole notebooks of readings corrected.</p>

<h2>Declination</h2>
<form action="/v1/declination" method="get">
<p><label>Place <input name="place" required placeholder="42.283 -71.35" size="30"></label>
(decimal degrees, degrees and minutes, UTM or MGRS)</p>
<p><label>Date <input name="date" required placeholder="2028-07-04" size="24"></label>
(as 2028-07-04, 1974-07 or today)</p>
<p><button>Look up</button></p>
</form>

<h2>What to set on the circle</h2>
<form action="/v1/setting" method="get">
<p><label>Place <input name="place" required placeholder="42.283 -71.35" size="30"></label></p>
<p><label>Date <input name="date" required placeholder="2028-07-04" size="24"></label></p>
<p><label>Graduation in degrees <input name="graduation" value="1" size="6"></label></p>
<p><button>Tell</button></p>
</form>

<h2>For programs</h2>
<ul>
<li><a href="/v1/declination?lat=42.283&amp;lon=-71.35&amp;date=2028-07-04">a declination as JSON</a></li>
<li><a href="/v1/models">the models, their spans and the result of the self-check</a></li>
<li><a href="/openapi.json">the description of every call</a></li>
</ul>
<p>A notebook: <code>curl --data-binary @notes.csv -H 'Content-Type: text/csv'
'http://localhost:8080/v1/correct?north_reference=circle&amp;set_declination=0'</code></p>

<h2>Cautions</h2>
<ul>
<li>A compass can be wrong by many degrees near iron, power lines and magnetic rock, and during magnetic storms.</li>
<li>The models know the Earth's field at large; they do not know local rock. The 95&nbsp;% figure beside each answer
comes from observatories and is wider than the published uncertainty for that reason.</li>
<li>Not for navigation on which lives depend without an independent check. Local rules and licensed surveyors come
first.</li>
</ul>
</main>
</body>
</html>
)html";

// Scripts, styles, data and calls from this origin alone; nothing inline. The model library is WebAssembly.
constexpr std::string_view kPolicy =
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob: data:; "
    "connect-src 'self'; worker-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'";
// The page may ask for a position, and only for that, and only on a tap.
constexpr std::string_view kPermissions = "geolocation=(self), camera=(), microphone=(), payment=(), usb=()";

Response file(const Call& call, const PageAsset& asset) {
  const std::string lifetime = asset.immutable ? "public, max-age=31536000, immutable" : "no-cache";
  const std::string_view wanted = call.request.header("accept-encoding").value_or("");
  // A packed form is another representation with a tag of its own (RFC 9110 8.8.3).
  std::string tag(asset.tag);
  std::string_view coding, bytes = asset.plain;
  const auto take = [&](std::string_view name, std::string_view packed) {
    if (!coding.empty() || packed.size() >= asset.plain.size() || !accepts_coding(wanted, name)) return;
    coding = name;
    bytes = packed;
    tag.insert(tag.size() - 1, "-" + std::string(name));
  };
  take("br", asset.brotli);
  take("gzip", asset.gzip);
  Response response;
  if (none_match_names(call.request, tag)) {
    response.status = 304;
  } else {
    response.content_type = asset.type;
    response.body = bytes;
    if (!coding.empty()) response.with("Content-Encoding", std::string(coding));
  }
  return std::move(response.with("ETag", tag)
                       .with("Cache-Control", lifetime)
                       .with("Vary", "Accept-Encoding")
                       .with("Content-Security-Policy", std::string(kPolicy))
                       .with("Permissions-Policy", std::string(kPermissions))
                       .with("Cross-Origin-Opener-Policy", "same-origin")
                       .with("Referrer-Policy", "no-referrer"));
}

}  // namespace

Response page(Call& call) {
  const auto assets = page_assets();
  const auto found = std::find_if(assets.begin(), assets.end(),
                                  [&](const PageAsset& asset) { return asset.path == call.request.path; });
  if (found != assets.end()) return file(call, *found);
  if (call.request.path == "/") return plain_page(call);
  return refuse(Problem{Code::not_found, {}, {}, "the page has no such file", "Load the page anew."});
}

Response plain_page(Call& call) {
  Response response = cached_text(call, kPage, "text/html; charset=utf-8", "public, max-age=3600");
  return std::move(response
                       .with("Content-Security-Policy",
                             "default-src 'none'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
                       .with("Referrer-Policy", "no-referrer"));
}

}  // namespace agonic::server
