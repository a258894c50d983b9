#include "model/exchange/row_batch.hpp"

#include <algorithm>
#include <exception>

namespace agonic::exchange {

struct RowBatch::Window {
  struct Record {
    std::size_t begin, length;
    std::uint64_t line;
    unsigned char ending;
    RecordKind kind;
  };
  std::string bytes;  // records with their endings
  std::vector<Record> records;
  std::uint64_t rows_before = 0;  // in the batch

  Text out;
  GzipPiece packed;
  Summary summary;                                                 // of its own rows
  std::vector<std::pair<std::string_view, std::uint64_t>> raised;  // checks: a handful of static texts
  std::exception_ptr failure;
  bool done = false;

  void clear() {
    bytes.clear();
    records.clear();
    out.clear();
    summary = {};
    raised.clear();
    failure = nullptr;
    done = false;
  }

  void count(const reading::Outcome& outcome, std::uint64_t row, std::uint64_t line) {
    ++summary.rows;
    switch (outcome.status) {
      case reading::Status::corrected:
        ++summary.corrected;
        break;
      case reading::Status::unchanged:
        ++summary.unchanged;
        break;
      case reading::Status::refused:
        ++summary.refused;
        if (summary.first_refused.size() < kRefusedKept) summary.first_refused.push_back({row, line, *outcome.problem});
        break;
    }
    for (const std::string_view code : outcome.checks) {
      const auto known =
          std::find_if(raised.begin(), raised.end(), [&](const auto& r) { return r.first.data() == code.data(); });
      if (known != raised.end())
        ++known->second;
      else
        raised.emplace_back(code, 1);
    }
  }
};

struct RowBatch::Bench {
  Bench(const field::Catalogue& catalogue, const reading::Rules& rules, std::unique_ptr<RowWriter> own_writer)
      : corrector(catalogue, rules), writer(std::move(own_writer)) {}
  reading::Corrector corrector;
  std::unique_ptr<RowWriter> writer;
  Desk desk;
  std::vector<Row> rows;
  std::unique_ptr<PassedReader> passed;  // where rows are watched
  WatchedRow shown;
};

namespace {
// Where rows are watched nothing is written.
class NoWriter final : public RowWriter {
 public:
  void begin(Text&) override {}
  void row(const Row&, const Desk&, const reading::Outcome&, bool, Text&) override {}
  void blank(const Row&, Text&) override {}
  void end(const Summary&, Text&) override {}
};
}  // namespace

RowBatch::RowBatch(const field::Catalogue& catalogue, Work work)
    : catalogue_(catalogue), work_(work), window_(std::make_unique<Window>()) {}

RowBatch::~RowBatch() {
  // Threads still work on windows nobody wants any more.
  std::unique_lock lock(mutex_);
  for (const auto& window : under_way_) done_.wait(lock, [&] { return window->done; });
}

void RowBatch::start(reading::Rules rules, std::shared_ptr<const RowReader> reader, MakeWriter make_writer) {
  rules_ = std::move(rules);
  reader_ = std::move(reader);
  make_writer_ = work_.watcher == nullptr ? std::move(make_writer) : [] { return std::make_unique<NoWriter>(); };
  writer_ = make_writer_();
  Text out;
  writer_->begin(out);
  if (work_.gzip) work_.sink->write(GzipJoiner::head());
  put(out.view());
}

void RowBatch::take_record(std::string_view record, std::string_view ending, std::uint64_t line, RecordKind kind) {
  window_->records.push_back(
      {window_->bytes.size(), record.size(), line, static_cast<unsigned char>(ending.size()), kind});
  window_->bytes.append(record).append(ending);
  if (kind != RecordKind::blank) ++rows_taken_;
  if (window_->records.size() == kWindowRows || window_->bytes.size() > kWindowBytes) dispatch();
}

std::unique_ptr<RowBatch::Bench> RowBatch::take_bench() {
  {
    const std::lock_guard lock(mutex_);
    if (!benches_.empty()) {
      auto bench = std::move(benches_.back());
      benches_.pop_back();
      return bench;
    }
  }
  return std::make_unique<Bench>(catalogue_, rules_, make_writer_());
}

void RowBatch::dispatch() {
  if (work_.executor == nullptr) {
    auto bench = take_bench();
    work(*window_, *bench);
    benches_.push_back(std::move(bench));
    emit(*window_);
    window_->clear();
  } else {
    under_way_.push_back(std::move(window_));
    work_.executor->post([this, window = under_way_.back().get()] {
      std::unique_ptr<Bench> bench;
      try {
        bench = take_bench();
        work(*window, *bench);
      } catch (...) {
        window->failure = std::current_exception();
      }
      const std::lock_guard lock(mutex_);
      if (bench && !window->failure) benches_.push_back(std::move(bench));
      window->done = true;
      done_.notify_all();  // under the lock: behind it the batch may be gone
    });
    // One window a thread under way, one each waiting for it.
    while (under_way_.size() >= 2 * work_.executor->width()) emit_oldest();
    if (spare_.empty()) spare_.push_back(std::make_unique<Window>());
    window_ = std::move(spare_.back());
    spare_.pop_back();
  }
  window_->rows_before = rows_taken_;
}

void RowBatch::emit_oldest() {
  {
    std::unique_lock lock(mutex_);
    done_.wait(lock, [&] { return under_way_.front()->done; });
  }
  auto window = std::move(under_way_.front());
  under_way_.pop_front();
  if (window->failure) std::rethrow_exception(window->failure);
  emit(*window);
  window->clear();
  spare_.push_back(std::move(window));
}

void RowBatch::work(Window& window, Bench& bench) const {
  window.bytes.append(kRowPadding, ' ');
  bench.desk.clear();
  bench.rows.clear();
  for (const Window::Record& record : window.records) {
    Row& row = bench.rows.emplace_back();
    row.raw = std::string_view(window.bytes).substr(record.begin, record.length);
    row.ending = std::string_view(window.bytes).substr(record.begin + record.length, record.ending);
    row.line = record.line;
    row.blank = record.kind == RecordKind::blank;
    if (row.blank) continue;
    bench.desk.cells.clear();
    reader_->read(row, record.kind == RecordKind::broken, bench.desk);
    if (!row.problem) bench.corrector.add(bench.desk.cells);
  }
  bench.corrector.evaluate();

  std::uint64_t number = window.rows_before;
  for (const Row& row : bench.rows) {
    if (row.blank) {
      bench.writer->blank(row, window.out);
      continue;
    }
    const auto put = [&](const reading::Outcome& outcome) {
      window.count(outcome, ++number, row.line);
      if (work_.watcher != nullptr) show(row, number, outcome, bench);
      bench.writer->row(row, bench.desk, outcome, number == 1, window.out);
    };
    if (row.problem)
      put(reading::refused(*row.problem));
    else
      put(bench.corrector.next());
  }
  if (work_.gzip) window.packed = gzip_piece(window.out.view());
  for (const auto& [code, count] : window.raised) window.summary.checks[std::string(code)] += count;
}

void RowBatch::show(const Row& row, std::uint64_t number, const reading::Outcome& outcome, Bench& bench) const {
  if (!bench.passed) bench.passed = reader_->passed(work_.watcher->wanted());
  WatchedRow& shown = bench.shown;
  shown.row = number;
  shown.line = row.line;
  shown.raw = row.raw;
  shown.reading = row.problem ? nullptr : bench.corrector.reading();
  shown.around = row.problem ? nullptr : bench.corrector.around();
  shown.outcome = &outcome;
  bench.passed->read(row, bench.desk, shown.passed);
  work_.watcher->row(shown);
}

void RowBatch::emit(Window& window) {
  Summary& part = window.summary;
  summary_.rows += part.rows;
  summary_.corrected += part.corrected;
  summary_.unchanged += part.unchanged;
  summary_.refused += part.refused;
  for (const auto& [code, count] : part.checks) summary_.checks[code] += count;
  for (RefusedRow& row : part.first_refused)
    if (summary_.first_refused.size() < kRefusedKept) summary_.first_refused.push_back(std::move(row));
  if (work_.gzip) joiner_.add(window.packed);
  work_.sink->write(work_.gzip ? std::string_view(window.packed.packed) : window.out.view());
}

void RowBatch::put(std::string_view plain) {
  if (!work_.gzip) return work_.sink->write(plain);
  if (plain.empty()) return;
  const GzipPiece piece = gzip_piece(plain);
  joiner_.add(piece);
  work_.sink->write(piece.packed);
}

Summary RowBatch::end() {
  if (!window_->records.empty()) dispatch();
  while (!under_way_.empty()) emit_oldest();
  Text out;
  writer_->end(summary_, out);
  put(out.view());
  if (work_.gzip) work_.sink->write(joiner_.tail());
  return summary_;
}

}  // namespace agonic::exchange
