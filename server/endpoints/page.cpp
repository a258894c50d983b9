#include <string_view>

#include "server/caching.hpp"
#include "server/endpoints/endpoints.hpp"

namespace agonic::server {
namespace {

// A plain page that needs no script and no style.
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

}  // namespace

Response page(Call& call) {
  Response response = cached_text(call, kPage, "text/html; charset=utf-8", "public, max-age=3600");
  return std::move(response
                       .with("Content-Security-Policy",
                             "default-src 'none'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
                       .with("Referrer-Policy", "no-referrer"));
}

}  // namespace agonic::server
