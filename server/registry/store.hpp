// Where the registry is kept: rows that are added and never changed. What they mean is the registry's business.
#pragma once

#include <cstdint>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace agonic::server::registry {

/// Why the store could not do what was asked. What had been begun is undone.
class StoreFailure : public std::runtime_error {
 public:
  enum class Kind {
    gone,         ///< cannot be reached, or too slow
    damaged,      ///< what it holds is not what was written
    full,         ///< no space
    unsupported,  ///< another kind of store would be needed
  };
  /// @param what for people, without secrets
  StoreFailure(Kind kind, const std::string& what) : std::runtime_error(what), kind_(kind) {}
  [[nodiscard]] Kind kind() const noexcept { return kind_; }

 private:
  Kind kind_;
};

/// One change of one instrument.
struct ChangeRow {
  std::int64_t sequence = 0;  ///< given by the store, rising
  std::string team, instrument;
  int version = 0;
  std::string kind, statement;  ///< as model/instrument/record_json.hpp writes them
  std::string who, at, why;
};

/// One key. The key itself is nowhere kept.
struct KeyRow {
  std::string id;
  std::string digest;  ///< SHA-256 of the key, hexadecimal
  std::string team, name, scope;
  std::string made_at, made_by;
  std::string revoked_at;  ///< empty: it is live
};

/// An answer kept for a repeated Idempotency-Key.
struct KeptAnswer {
  std::string scope, key;  ///< whose, and the header's value
  std::string digest;      ///< of the request
  int status = 0;
  std::string location, etag, body;
  std::string at;
};

enum class Added { done, conflict };

/// Used by one thread at a time. Every function may throw StoreFailure, and then has changed nothing, but for a
/// commit whose answer was lost: that may have been done.
class Store {
 public:
  virtual ~Store() = default;
  /// In order of their sequence.
  virtual std::vector<ChangeRow> changes_after(std::int64_t sequence) = 0;
  /// All rows and the answer, or nothing: `conflict` where a version is taken, or an answer is kept under that key.
  virtual Added add(const std::vector<ChangeRow>& rows, const std::optional<KeptAnswer>& answer) = 0;
  virtual std::optional<KeptAnswer> kept(const std::string& scope, const std::string& key) = 0;
  /// Drops kept answers from before that time.
  virtual void forget_answers(const std::string& before) = 0;

  virtual std::vector<KeyRow> keys() = 0;
  virtual void add_key(const KeyRow& row) = 0;
  /// False where there is no live key of that id.
  virtual bool revoke_key(const std::string& id, const std::string& at) = 0;

  /// A whole copy, verified, as the bytes of a file.
  virtual std::string backup() = 0;
};

}  // namespace agonic::server::registry
