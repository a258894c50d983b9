// Any cut of the input and any number of threads give the same bytes and the same word on the file.
#include <algorithm>
#include <numeric>
#include <random>

#include "model/exchange/gzip.hpp"
#include "model/exchange/thread_executor.hpp"
#include "tests/model/exchange/batch_run.hpp"

namespace agonic::exchange {
namespace {

struct Sample {
  std::string name;
  Format in, out;
  std::string text;
};

void expect_same(const Sample& sample, const Batch& whole, const std::vector<std::size_t>& cuts) {
  const Batch pieces = run(sample.text, sample.in, sample.out, {}, cuts);
  ASSERT_EQ(pieces.code(), whole.code()) << sample.name;
  if (whole.problem)
    EXPECT_EQ(pieces.problem->text(), whole.problem->text()) << sample.name;
  else
    EXPECT_EQ(to_json(pieces.summary), to_json(whole.summary)) << sample.name;
  ASSERT_EQ(pieces.out, whole.out) << sample.name;
}

const std::string kHeader = "note,lat,lon,date,azimuth,north_reference,set_declination\r\n";
const std::string kTail = ",46.5,7.25,2020-07-01,100,circle,0\r\n";
const std::string kRow = R"({"lat":46.5,"lon":7.25,"date":"2020-07-01","azimuth":100,"north_reference":"magnetic"})";

std::vector<Sample> small() {
  const std::string csv = "\xEF\xBB\xBF" + kHeader + "\"a \"\"b\"\"\r\nc\"" + kTail + "\r\n\n" + "x" + kTail +
                          "y,\"open" + kTail + "z" + kTail + "\"w\"q" + kTail + "last,46.5";
  const std::string json =
      "\xEF\xBB\xBF {\"a\\\"b\": [1, {}],\n \"defaults\": {\"letters\": \"es\"}, \"readings\" : [" + kRow +
      " ,\n 17, true ,{\"a\":\"\\\\\"}, \"\\\"]\", null ] , \"z\" : 1 } \n";
  const std::string geo = R"({"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point",)"
                          R"("coordinates":[7.25,46.5]},"properties":)" +
                          kRow + R"(},{"properties":null}, {}]})";
  return {{"csv", Format::csv, Format::csv, csv},
          {"csv to json", Format::csv, Format::json, csv},
          {"csv to ndjson", Format::csv, Format::ndjson, csv},
          {"json", Format::json, Format::json, json},
          {"json to ndjson", Format::json, Format::ndjson, json},
          {"cut off", Format::json, Format::json, json.substr(0, json.size() - 20)},
          {"two documents", Format::json, Format::json, json + json},
          {"ndjson", Format::ndjson, Format::ndjson, "\xEF\xBB\xBF" + kRow + "\r\n\n{bad\n" + kRow},
          {"ndjson to json", Format::ndjson, Format::json, kRow + "\n" + kRow + "\n"},
          {"geojson", Format::geojson, Format::geojson, geo},
          {"no header", Format::csv, Format::csv, "a,b\n1,2\n"}};
}

TEST(Split, ByteByByte) {
  for (const Sample& sample : small()) {
    std::vector<std::size_t> every(sample.text.size());
    std::iota(every.begin(), every.end(), std::size_t{0});
    expect_same(sample, run(sample.text, sample.in, sample.out), every);
  }
}

TEST(Split, EverySingleCut) {
  for (const Sample& sample : small()) {
    const Batch whole = run(sample.text, sample.in, sample.out);
    for (std::size_t cut = 0; cut <= sample.text.size(); ++cut) expect_same(sample, whole, {cut});
  }
}

// Files around the limits of 64 KiB and 1 MiB, where a careless reader looks at what it happens to have.
std::vector<Sample> large() {
  constexpr std::size_t kHead = 64 * 1024, kLongest = 1024 * 1024;
  const auto rows = [](std::size_t bytes, const std::string& row) {
    std::string text;
    while (text.size() < bytes) text += row;
    return text;
  };
  std::vector<Sample> out;
  const auto csv = [&](const std::string& name, const std::string& text) {
    out.push_back({name, Format::csv, Format::csv, text});
  };
  csv("many rows", kHeader + rows(300000, "x" + kTail));
  csv("long header", "\"" + std::string(kHead + 500, 'h') + "\"," + kHeader + "x" + kTail);
  csv("long header with lines", "\"" + rows(kHead + 500, "h\n") + "\"," + kHeader + "x" + kTail);
  csv("open header", "\"" + rows(kHead * 2, "h\n"));
  for (const std::size_t length : {kHead - 1, kHead, kHead + 1, kHead + 2}) {
    csv("lines in a cell", kHeader + "\"\n" + std::string(length - kTail.size() - 1, 'q') + "\"" + kTail + "x" + kTail);
    csv("closed early", kHeader + "\"\n\"" + std::string(length - kTail.size() - 3, ' ') + kTail + "x" + kTail);
    csv("closed early, no end", kHeader + "\"\n\"," + rows(length, "\"a\","));
  }
  for (const std::size_t length : {kLongest - 1, kLongest, kLongest + 1, kLongest + 2}) {
    csv("longest line", kHeader + std::string(length - kTail.size() + 2, 'q') + kTail + "x" + kTail);
    csv("longest line, no end", kHeader + std::string(length, 'q'));
    out.push_back({"longest ndjson", Format::ndjson, Format::ndjson,
                   "{\"a\":\"" + std::string(length - 8, 'q') + "\"}\n" + kRow + "\n"});
    out.push_back({"longest value", Format::json, Format::json,
                   "{\"readings\":[{\"a\":\"" + std::string(length - 8, 'q') + "\"}]}"});
  }
  csv("open quote", kHeader + "\"open" + kTail + rows(200000, "x" + kTail));
  csv("open quotes", kHeader + rows(30000, "\"x\"y,\"\n"));
  csv("decimal comma late", "lat;lon;date;azimuth\n" + rows(kHead, "46;7;2020;100\n") + "46,5;7,25;2020;100,5\n");
  out.push_back(
      {"many objects", Format::json, Format::json, "{\"readings\":[" + rows(200000, kRow + ",") + kRow + "]}"});
  return out;
}

TEST(Split, RandomCuts) {
  std::mt19937_64 random(20261125);
  for (const Sample& sample : large()) {
    const Batch whole = run(sample.text, sample.in, sample.out);
    for (int round = 0; round < 6; ++round) {
      std::vector<std::size_t> cuts(round < 3 ? 1 + random() % 40 : 400);
      for (std::size_t& cut : cuts) cut = random() % (sample.text.size() + 1);
      if (round == 5) cuts.push_back(std::min(sample.text.size(), std::size_t{70000} + random() % 3000));
      std::sort(cuts.begin(), cuts.end());
      expect_same(sample, whole, cuts);
    }
  }
}

void expect_equal(const Sample& sample, const Batch& other, const Batch& whole) {
  ASSERT_EQ(other.code(), whole.code()) << sample.name;
  EXPECT_EQ(to_json(other.summary), to_json(whole.summary)) << sample.name;
  ASSERT_EQ(other.out, whole.out) << sample.name;
}

TEST(Threads, AnyNumberGivesTheSameBytes) {
  for (const std::size_t threads : {1U, 2U, 5U}) {
    ThreadExecutor executor(threads);
    for (const auto& samples : {small(), large()})
      for (const Sample& sample : samples) {
        const Batch whole = run(sample.text, sample.in, sample.out);
        if (!whole.problem) expect_equal(sample, run(sample.text, sample.in, sample.out, {}, {}, &executor), whole);
      }
  }
}

TEST(Threads, ABatchThatIsGivenUpLeavesNothingBehind) {
  ThreadExecutor executor(3);
  const std::string text = large().front().text;
  for (int round = 0; round < 20; ++round) {
    TextSink sink;
    BatchOptions options;
    options.executor = &executor;
    auto batch = BatchCorrector::create(catalogue(), options, sink);
    ASSERT_TRUE(batch);
    EXPECT_FALSE((*batch)->feed(text));
  }
}

class FullSink final : public ByteSink {
 public:
  void write(std::string_view bytes) override {
    if ((taken_ += bytes.size()) > 200000) throw std::runtime_error("full");
  }

 private:
  std::size_t taken_ = 0;
};

TEST(Threads, AFullDiskIsTold) {
  ThreadExecutor executor(2);
  FullSink sink;
  BatchOptions options;
  options.executor = &executor;
  auto batch = BatchCorrector::create(catalogue(), options, sink);
  ASSERT_TRUE(batch);
  const std::string text = large().front().text;
  EXPECT_THROW(
      {
        if (!(*batch)->feed(text)) (void)(*batch)->finish();
      },
      std::runtime_error);
}

std::string unpacked(const std::string& bytes) {
  Inflater inflater;
  std::string text;
  const auto take = [&](std::string_view piece) {
    text += piece;
    return true;
  };
  return inflater.feed(bytes, take) == Inflater::Outcome::ok && inflater.at_end() ? text : "damaged";
}

// RFC 1952, read back by zlib.
TEST(Threads, PackedTheyAreTheSameToo) {
  ThreadExecutor executor(2);
  for (const Sample& sample : small()) {
    const Batch whole = run(sample.text, sample.in, sample.out);
    if (whole.problem) continue;
    const Batch packed = run(sample.text, sample.in, sample.out, {}, {}, &executor, true);
    EXPECT_EQ(unpacked(packed.out), whole.out) << sample.name;
    EXPECT_EQ(packed.out, run(sample.text, sample.in, sample.out, {}, {}, nullptr, true).out) << sample.name;
  }
}

}  // namespace
}  // namespace agonic::exchange
