// SVG: read back by another XML reader (libxml2), what hostile text becomes, the same bytes each time.
#include "model/paper/svg.hpp"

#include <gtest/gtest.h>
#include <unistd.h>

#include "tests/model/paper/paper_fixture.hpp"

namespace agonic::paper {
namespace {

std::string svg(const Drawing& drawing, const SvgOptions& options = {}) {
  auto text = to_svg(drawing, options);
  EXPECT_TRUE(text) << (text ? "" : text.problem().text());
  return text ? *text : std::string();
}
bool has(std::string_view text, std::string_view part) { return text.find(part) != std::string_view::npos; }

TEST(Svg, IsWellFormed) {
  EXPECT_EQ(with_file(svg(one_of_everything()), "xmllint --noout --nonet %"), 0);
  EXPECT_NE(with_file(svg(one_of_everything()) + "<", "xmllint --noout --nonet %"), 0);
}

TEST(Svg, GivesTheSameBytesEachTime) { EXPECT_EQ(svg(one_of_everything()), svg(one_of_everything())); }

TEST(Svg, TellsAScreenReaderWhatItIs) {
  const std::string text = svg(one_of_everything());
  EXPECT_TRUE(has(text, R"(role="img" aria-labelledby="d-title d-desc")"));
  EXPECT_TRUE(has(text, "<title id=\"d-title\">A trial</title>\n<desc id=\"d-desc\">One of everything.</desc>"));
  EXPECT_TRUE(has(text, "xml:lang=\"en\""));
  EXPECT_TRUE(has(text, "<title>A weak zone</title></path>"));
}

TEST(Svg, HasTheSizeOfTheDrawingInItsUnit) {
  Drawing drawing = one_of_everything();
  EXPECT_TRUE(has(svg(drawing), R"(width="100mm" height="60mm" viewBox="0 0 100 60")"));
  drawing.unit = Unit::px;
  EXPECT_TRUE(has(svg(drawing), R"(width="100" height="60" viewBox="0 0 100 60")"));
}

TEST(Svg, EscapesTextSoThatItStaysText) {
  Drawing drawing = one_of_everything();
  drawing.title = "</title><script>alert(1)</script>";
  drawing.description = "a\" onload=\"alert(1)";
  drawing.language = "\"><script/>";
  Label label;
  label.size = 3;
  label.text = "]]> <b> & &amp; ' \x01\x1F\x7F \xC3\x28 \xED\xA0\x80 \xF4\x90\x80\x80 \xEF\xBF\xBF \xE2\x82";
  drawing.add(label);
  const std::string text = svg(drawing);
  EXPECT_EQ(with_file(text, "xmllint --noout --nonet %"), 0);
  EXPECT_FALSE(has(text, "<script"));
  EXPECT_FALSE(has(text, "\" onload"));
  EXPECT_TRUE(has(text, "]]&gt; &lt;b&gt; &amp; &amp;amp; &#39; "));
}

// XML 1.0, fifth edition, production 2 (Char); Unicode 15, table 3-7 (well-formed UTF-8).
TEST(Svg, ReplacesWhatXmlHasNoCharacterFor) {
  EXPECT_EQ(escape_xml("a\x01z"), "a\xEF\xBF\xBDz");
  EXPECT_EQ(escape_xml(std::string_view("a\0z", 3)), "a\xEF\xBF\xBDz");
  EXPECT_EQ(escape_xml("\xC0\x80"), "\xEF\xBF\xBD\xEF\xBF\xBD");
  EXPECT_EQ(escape_xml("\xE2\x82"), "\xEF\xBF\xBD\xEF\xBF\xBD");
  EXPECT_EQ(escape_xml("\xEF\xBF\xBE"), "\xEF\xBF\xBD");
  EXPECT_EQ(escape_xml("\xED\xA0\x80"), "\xEF\xBF\xBD");
  EXPECT_EQ(escape_xml("\xF0\x9F\xA7\xAD 45\xC2\xB0"), "\xF0\x9F\xA7\xAD 45\xC2\xB0");
}

TEST(Svg, WritesRelativeStepsThatDoNotDrift) {
  Drawing drawing = one_of_everything();
  drawing.elements.clear();
  Path path;
  // Ten steps of 0.004: none is a hundredth by itself, and together they are 0.04.
  path.move_to({1, 1});
  for (int i = 1; i <= 10; ++i) path.line_to({1 + 0.004 * i, 1});
  path.stroke = Stroke{kBlack, 1, {}};
  drawing.add(path);
  EXPECT_TRUE(has(svg(drawing), "d=\"m1 1 0 0 .01 0 0 0 .01 0 0 0 0 0 .01 0 0 0 .01 0 0 0\"")) << svg(drawing);
}

TEST(Svg, KeepsTwoDrawingsInOnePageApart) {
  const std::string text = svg(one_of_everything(), {"card-2", false});
  EXPECT_TRUE(text.starts_with("<svg "));
  EXPECT_TRUE(has(text, "id=\"card-2-hatch0\""));
  EXPECT_TRUE(has(text, "url(#card-2-hatch0)"));
  EXPECT_TRUE(has(text, "url(#card-2-clip0)"));
  EXPECT_FALSE(has(text, "\"d-"));
  for (const char* bad : {"", "2", "a b", "a\"", "-a"}) EXPECT_FALSE(to_svg(one_of_everything(), {bad, true})) << bad;
}

TEST(Svg, ClipsAndClosesItsGroups) {
  const std::string text = svg(one_of_everything());
  EXPECT_TRUE(has(text, R"(<clipPath id="d-clip0"><rect x="5" y="5" width="90" height="50"/></clipPath>)"));
  EXPECT_TRUE(has(text, R"svg(<g class="frame" clip-path="url(#d-clip0)"><title>The frame</title>)svg"));
  EXPECT_TRUE(has(text, "</g>\n</svg>\n"));
}

}  // namespace
}  // namespace agonic::paper
