// Request heads by RFC 9110 and RFC 9112, sent to a running service; each refusal is a way in which two servers could
// disagree. What the library does not show is left to the proxy in front: a header line without a colon or with an
// empty value and one that ends in a bare line feed (all dropped), the part of an address behind '#' (dropped), a
// second blank in the request line, and %XX in a header's value (decoded). Trailers behind chunks, legal but of no use
// here, are refused by the library as broken chunks.
#include <gtest/gtest.h>

#include "server/http/head_checks.hpp"
#include "tests/server/socket_fixture.hpp"

namespace agonic::server {
namespace {

class HeadTest : public SocketTest {
 protected:
  int status_of_head(const std::string& head) { return status_of(ask(head + "Connection: close\r\n\r\n", true)); }
  int status_with(const std::string& headers, const std::string& method = "POST") {
    return status_of_head(method + " /healthz HTTP/1.1\r\nHost: a\r\n" + headers);
  }
};

TEST_F(HeadTest, AQueryIsDecoded) {
  ask("GET /v1/declination?place=1%2C+2&model=&date=2028 HTTP/1.1\r\nHost: a:80\r\nX-Y:  z \t\r\nConnection: "
      "close\r\n\r\n");
  EXPECT_EQ(engine.last.get("place"), "1, 2");
  EXPECT_EQ(engine.last.get("date"), "2028");
}

TEST_F(HeadTest, AnAbsoluteAddressIsTakenByItsPath) {
  EXPECT_EQ(status_of_head("GET http://b:8080/healthz?x=1 HTTP/1.1\r\nHost: a\r\n"), 200);
  EXPECT_EQ(status_of_head("GET HTTP://b HTTP/1.1\r\nHost: a\r\n"), 200);
}

TEST_F(HeadTest, ExactlyOneHostIsNeeded) {
  EXPECT_EQ(status_of_head("GET / HTTP/1.1\r\n"), 400);
  EXPECT_EQ(status_of_head("GET / HTTP/1.1\r\nHost: a\r\nhost: b\r\n"), 400);
  EXPECT_EQ(status_of_head("GET / HTTP/1.1\r\nHost:\r\n"), 400);
  EXPECT_EQ(status_of_head("GET / HTTP/1.1\r\nHost: a b\r\n"), 400);
  EXPECT_EQ(status_of_head("GET / HTTP/1.1\r\nHost: a/b\r\n"), 400);
  EXPECT_EQ(status_of_head("GET / HTTP/1.1\r\nHost: [::1]:80\r\n"), 200);
}

TEST_F(HeadTest, LengthsThatCanBeReadInTwoWaysAreRefused) {
  for (const char* headers : {"Content-Length: 5\r\nContent-Length: 5\r\n",
                              "Content-Length: 5\r\nContent-Length: 6\r\n",
                              "Content-Length: 5, 5\r\n",
                              "Content-Length: +5\r\n",
                              "Content-Length: -2\r\n",
                              "Content-Length: 0x5\r\n",
                              "Content-Length: 5 5\r\n",
                              "Content-Length:\r\n",
                              "Content-Length: 99999999999999999999\r\n",
                              "Content-Length: 5\r\nTransfer-Encoding: chunked\r\n",
                              "Transfer-Encoding: chunked\r\nContent-Length: 5\r\n",
                              "Transfer-Encoding: chunked\r\nTransfer-Encoding: chunked\r\n",
                              "Transfer-Encoding: gzip, chunked\r\n",
                              "Transfer-Encoding: chunked, identity\r\n",
                              "Transfer-Encoding: xchunked\r\n",
                              "Transfer-Encoding:\r\n",
                              "Transfer-Encoding : chunked\r\n",
                              "Content-Length : 5\r\n",
                              " Content-Length: 5\r\n",
                              "X: y\r\n Content-Length: 5\r\n",
                              ": x\r\nContent-Length: 0\r\n",
                              "X\x80: y\r\nContent-Length: 0\r\n"}) {
    const int status = status_with(headers);
    EXPECT_TRUE(status == 400 || status == 411) << headers << status;
  }
  EXPECT_EQ(status_of_head("POST / HTTP/1.0\r\nHost: a\r\nTransfer-Encoding: chunked\r\n"), 400);
}

TEST_F(HeadTest, ABodyBelongsToAPostAndNeedsALength) {
  EXPECT_EQ(status_with("Content-Length: 5\r\n", "GET"), 400);
  EXPECT_EQ(status_with("Transfer-Encoding: chunked\r\n", "HEAD"), 400);
  EXPECT_EQ(status_with("Content-Length: 0\r\n", "GET"), 200);
  EXPECT_EQ(status_with("", "POST"), 411);
  for (const char* method : {"PUT", "PATCH", "DELETE", "OPTIONS"}) {
    const std::string response =
        ask(method + std::string(" /v1/correct HTTP/1.1\r\nHost: a\r\nContent-Length: 60\r\n\r\n") + get("/healthz"));
    EXPECT_EQ(count(response, "HTTP/1.1 "), 1u) << method << " ran its body";
    EXPECT_EQ(status_of(response), method == std::string("OPTIONS") ? 204 : 405) << method;
  }
}

TEST_F(HeadTest, AFormIsRefusedByItsTypeWhateverItsLength) {
  for (const std::size_t size : {9u, 9000u, 90000u}) {
    const std::string response = ask(
        "POST /v1/correct HTTP/1.1\r\nHost: a\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: " +
        std::to_string(size) + "\r\n\r\n" + std::string(size, 'a'));
    EXPECT_EQ(status_of(response), 415) << size;
  }
}

TEST_F(HeadTest, SizesAreBounded) {
  const std::string longest(kTargetMax - 1, 'a');
  EXPECT_EQ(status_of_head("GET /" + longest + " HTTP/1.1\r\nHost: a\r\n"), 404);
  EXPECT_EQ(status_of_head("POST /" + longest + " HTTP/1.1\r\nHost: a\r\nContent-Length: 1\r\n"), 404);
  EXPECT_EQ(status_of_head("GET /a" + longest + " HTTP/1.1\r\nHost: a\r\n"), 414);
  EXPECT_EQ(status_of_head("GET /" + longest + longest + " HTTP/1.1\r\nHost: a\r\n"), 414);
  std::string headers;
  for (int i = 2; i < 100; ++i) headers += "X: y\r\n";
  EXPECT_EQ(status_with(headers, "GET"), 200);  // with Host and Connection: 100
  EXPECT_EQ(status_with(headers + "X: y\r\n", "GET"), 431);
  std::string query = "?a0=1";
  for (std::size_t i = 1; i < kQueryMax; ++i) query += "&a" + std::to_string(i) + "=1";
  EXPECT_EQ(status_of_head("GET /healthz" + query + " HTTP/1.1\r\nHost: a\r\n"), 200);
  EXPECT_EQ(status_of_head("GET /healthz" + query + "&a=1 HTTP/1.1\r\nHost: a\r\n"), 400);
  EXPECT_EQ(status_with("X: " + std::string(9000, 'y') + "\r\n", "GET"), 431);
  EXPECT_EQ(status_of(ask(std::string(Connection::kHeadMax + 1, 'a'))), 431);
  std::string flood = "GET / HTTP/1.1\r\n";
  while (flood.size() <= Connection::kHeadMax) flood += "X: y\r\n";
  EXPECT_EQ(status_of(ask(flood)), 431);
}

TEST_F(HeadTest, BrokenRequestLinesAndAddressesAreRefused) {
  for (const char* line : {"",
                           "GET",
                           "GET /",
                           "GET  HTTP/1.1",
                           "GET / / HTTP/1.1",
                           "GE T / HTTP/1.1",
                           "BREW / HTTP/1.1",
                           "GET / HTP/1.1",
                           "GET / http/1.1",
                           "GET * HTTP/1.1",
                           "GET x HTTP/1.1",
                           "GET /%zz HTTP/1.1",
                           "GET /% HTTP/1.1",
                           "GET /%1 HTTP/1.1",
                           "GET /%00 HTTP/1.1",
                           "GET /?a=%00 HTTP/1.1",
                           "GET /?a=%u0041 HTTP/1.1",
                           "GET /?a=1=2 HTTP/1.1",
                           "GET /?=2 HTTP/1.1",
                           "GET /?a=1&a=1 HTTP/1.1",
                           "GET /\x7f HTTP/1.1",
                           "GET /\xc3\xa9 HTTP/1.1",
                           "GET /a\tb HTTP/1.1",
                           "GET ftp://a/ HTTP/1.1"})
    EXPECT_EQ(status_of_head(std::string(line) + "\r\nHost: a\r\n"), 400) << line;
  EXPECT_EQ(status_of_head("GET / HTTP/2.0\r\nHost: a\r\n"), 505);
  EXPECT_EQ(status_of_head("GET / HTTP/1\r\nHost: a\r\n"), 505);
}

TEST_F(HeadTest, ExpectAndConnectionAreUnderstood) {
  EXPECT_EQ(status_with("Content-Length: 0\r\nExpect: tea\r\n"), 417);
  for (const char* head : {"GET /healthz HTTP/1.1\r\nHost: a\r\nConnection: TE, Close\r\n\r\n",
                           "GET /healthz HTTP/1.0\r\nHost: a\r\n\r\n"}) {
    const std::string response = ask(head);
    EXPECT_EQ(status_of(response), 200);
    EXPECT_NE(response.find("Connection: close"), std::string::npos);
    EXPECT_EQ(response.find("(timeout)"), std::string::npos);
  }
}

TEST_F(HeadTest, ARefusalThatTheLibraryMakesIsAProblemToo) {
  const std::string response = ask("nonsense\r\n\r\n");
  EXPECT_NE(response.find("Content-Type: application/problem+json"), std::string::npos) << response;
  EXPECT_NE(response.find("/problems/request-malformed"), std::string::npos) << response;
}

TEST_F(HeadTest, NothingIsCompressedOrCutThatWasNotAskedForByUs) {
  const std::string plain = ask(get("/openapi.json"));
  const std::string asked =
      ask(get("/openapi.json", "Accept-Encoding: gzip, br\r\nRange: bytes=0-9,x\r\nConnection: close\r\n"));
  EXPECT_EQ(status_of(asked), 200);
  EXPECT_EQ(asked.substr(asked.find("\r\n\r\n")), plain.substr(plain.find("\r\n\r\n")));
}

}  // namespace
}  // namespace agonic::server
