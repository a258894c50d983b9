// The store on a SQL database: the same statements for SQLite and PostgreSQL.
#pragma once

#include <memory>

#include "server/registry/database.hpp"
#include "server/registry/store.hpp"

namespace agonic::server::registry {

/// Every row carries a seal, the SHA-256 of what was written: one that no longer fits is told as damage, for no
/// database notices a flipped bit inside a text.
class SqlStore final : public Store {
 public:
  explicit SqlStore(std::unique_ptr<Database> database) : database_(std::move(database)) {}
  std::vector<ChangeRow> changes_after(std::int64_t sequence) override;
  Added add(const std::vector<ChangeRow>& rows, const std::optional<KeptAnswer>& answer) override;
  std::optional<KeptAnswer> kept(const std::string& scope, const std::string& key) override;
  void forget_answers(const std::string& before) override;
  std::vector<KeyRow> keys() override;
  void add_key(const KeyRow& row) override;
  bool revoke_key(const std::string& id, const std::string& at) override;
  std::string backup() override { return database_->backup(); }

 private:
  std::unique_ptr<Database> database_;
};

}  // namespace agonic::server::registry
