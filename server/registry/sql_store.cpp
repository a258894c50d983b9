#include "server/registry/sql_store.hpp"

#include <charconv>
#include <initializer_list>

#include "server/digest.hpp"

namespace agonic::server::registry {
namespace {

// Lengths stand before the parts, so that no two rows have the same bytes.
std::string seal_of(std::initializer_list<std::string_view> parts) {
  std::string all;
  for (const std::string_view part : parts) all.append(std::to_string(part.size())).append(":").append(part);
  return sha256_hex(all);
}
std::string seal_of(const ChangeRow& row) {
  return seal_of(
      {row.team, row.instrument, std::to_string(row.version), row.kind, row.statement, row.who, row.at, row.why});
}
std::string seal_of(const KeyRow& row) {
  return seal_of({row.id, row.digest, row.team, row.name, row.scope, row.made_at, row.made_by, row.revoked_at});
}

[[noreturn]] void damaged() {
  throw StoreFailure(StoreFailure::Kind::damaged, "a row of the registry is not what was written");
}

std::string text(const Row& row, std::size_t column) { return row.at(column).value_or(""); }

template <class Number>
Number number(const Row& row, std::size_t column) {
  const std::string digits = text(row, column);
  Number value{};
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
  if (error != std::errc() || end != digits.data() + digits.size()) damaged();
  return value;
}

}  // namespace

std::vector<ChangeRow> SqlStore::changes_after(std::int64_t sequence) {
  std::vector<ChangeRow> out;
  for (const Row& row :
       database_->run("SELECT sequence, team, instrument, version, kind, statement, who, at, why, seal "
                      "FROM change WHERE sequence > $1 ORDER BY sequence",
                      {std::to_string(sequence)})) {
    ChangeRow change{number<std::int64_t>(row, 0),
                     text(row, 1),
                     text(row, 2),
                     number<int>(row, 3),
                     text(row, 4),
                     text(row, 5),
                     text(row, 6),
                     text(row, 7),
                     text(row, 8)};
    if (seal_of(change) != text(row, 9)) damaged();
    out.push_back(std::move(change));
  }
  return out;
}

Added SqlStore::add(const std::vector<ChangeRow>& rows, const std::optional<KeptAnswer>& answer) {
  Transaction transaction(*database_);
  for (const ChangeRow& row : rows) {
    database_->run("INSERT INTO instrument (team, id) VALUES ($1, $2) ON CONFLICT DO NOTHING",
                   {row.team, row.instrument});
    const auto done = database_->run(
        "INSERT INTO change (team, instrument, version, kind, statement, who, at, why, seal) "
        "VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9) ON CONFLICT DO NOTHING RETURNING version",
        {row.team, row.instrument, std::to_string(row.version), row.kind, row.statement, row.who, row.at, row.why,
         seal_of(row)});
    if (done.empty()) return Added::conflict;
  }
  if (answer) {
    const auto done = database_->run(
        "INSERT INTO kept_answer (scope, key, digest, status, location, etag, body, at) "
        "VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT DO NOTHING RETURNING key",
        {answer->scope, answer->key, answer->digest, std::to_string(answer->status), answer->location, answer->etag,
         answer->body, answer->at});
    if (done.empty()) return Added::conflict;
  }
  transaction.commit();
  return Added::done;
}

std::optional<KeptAnswer> SqlStore::kept(const std::string& scope, const std::string& key) {
  const auto rows = database_->run(
      "SELECT scope, key, digest, status, location, etag, body, at FROM kept_answer WHERE scope = $1 AND key = $2",
      {scope, key});
  if (rows.empty()) return std::nullopt;
  const Row& row = rows.front();
  return KeptAnswer{text(row, 0), text(row, 1), text(row, 2), number<int>(row, 3),
                    text(row, 4), text(row, 5), text(row, 6), text(row, 7)};
}

void SqlStore::forget_answers(const std::string& before) {
  Transaction transaction(*database_);
  database_->run("DELETE FROM kept_answer WHERE at < $1", {before});
  transaction.commit();
}

std::vector<KeyRow> SqlStore::keys() {
  std::vector<KeyRow> out;
  for (const Row& row : database_->run("SELECT id, digest, team, name, scope, made_at, made_by, revoked_at, seal "
                                       "FROM access_key ORDER BY made_at, id")) {
    KeyRow key{text(row, 0), text(row, 1), text(row, 2), text(row, 3),
               text(row, 4), text(row, 5), text(row, 6), text(row, 7)};
    if (seal_of(key) != text(row, 8)) damaged();
    out.push_back(std::move(key));
  }
  return out;
}

void SqlStore::add_key(const KeyRow& row) {
  Transaction transaction(*database_);
  database_->run(
      "INSERT INTO access_key (id, digest, team, name, scope, made_at, made_by, revoked_at, seal) "
      "VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)",
      {row.id, row.digest, row.team, row.name, row.scope, row.made_at, row.made_by, row.revoked_at, seal_of(row)});
  transaction.commit();
}

bool SqlStore::revoke_key(const std::string& id, const std::string& at) {
  Transaction transaction(*database_);
  for (KeyRow key : keys()) {
    if (key.id != id || !key.revoked_at.empty()) continue;
    key.revoked_at = at;
    database_->run("UPDATE access_key SET revoked_at = $2, seal = $3 WHERE id = $1", {id, at, seal_of(key)});
    transaction.commit();
    return true;
  }
  return false;
}

}  // namespace agonic::server::registry
