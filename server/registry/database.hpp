// SQL with bound parameters, the same for SQLite and PostgreSQL.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace agonic::server::registry {

using Value = std::optional<std::string>;
using Row = std::vector<Value>;

/// One connection, used by one thread at a time. Throws StoreFailure.
class Database {
 public:
  virtual ~Database() = default;
  /// One statement with $1, $2, … for the values: text is never put into SQL.
  virtual std::vector<Row> run(std::string_view sql, const std::vector<Value>& values = {}) = 0;
  /// A transaction that may write; other writers wait.
  virtual void begin() = 0;
  virtual void commit() = 0;
  virtual void roll_back() noexcept = 0;
  virtual std::string backup() = 0;
};

/// Undone unless committed.
class Transaction {
 public:
  explicit Transaction(Database& database) : database_(database) { database_.begin(); }
  ~Transaction() {
    if (open_) database_.roll_back();
  }
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  void commit() {
    database_.commit();
    open_ = false;
  }

 private:
  Database& database_;
  bool open_ = true;
};

}  // namespace agonic::server::registry
