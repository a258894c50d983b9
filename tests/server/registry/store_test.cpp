// One suite for every store: SQLite in a file, and PostgreSQL.
#include <algorithm>
#include <thread>

#include "server/registry/registry.hpp"
#include "tests/server/registry/store_fixture.hpp"

namespace agonic::server::registry {
namespace {

INSTANTIATE_TEST_SUITE_P(Stores, StoreTest, testing::Values("sqlite", "postgres"),
                         [](const auto& one) { return std::string(one.param); });

// Forms of injection as collected by the OWASP testing guide, from memory: quotes, comments, unions, escapes, shells.
std::vector<std::string> hostile_texts() {
  std::vector<std::string> out{"'",
                               "''",
                               "\"",
                               "\\",
                               "\\'",
                               "%",
                               "_",
                               "--",
                               "/*",
                               "*/",
                               ";",
                               "$1",
                               "?1",
                               ":a",
                               "@a",
                               "`",
                               "' OR '1'='1",
                               "' OR 1=1 --",
                               "'; DROP TABLE change; --",
                               "\"; DELETE FROM access_key; --",
                               "') UNION SELECT id, digest FROM access_key --",
                               "1; SELECT pg_sleep(10)",
                               "'||(SELECT digest FROM access_key)||'",
                               "$$; DROP TABLE change; $$",
                               "E'\\x27'",
                               "\xEF\xBC\x87 OR 1=1",
                               "ÿ",
                               "日本",
                               "\xF0\x9F\xA7\xAD",
                               "a\tb\nc\r\nd",
                               "NULL",
                               "null",
                               "true",
                               "0x27",
                               "1e999",
                               "NaN",
                               "{}",
                               "[]",
                               "{\"a\":1}",
                               "<script>alert(1)</script>",
                               "${jndi:x}",
                               "$(id)",
                               "`id`",
                               "|id",
                               "../../etc/passwd",
                               "=1+1",
                               "+1",
                               "-1",
                               "@SUM(A1)"};
  for (int c = 0x20; c < 0x7F; ++c) out.push_back(std::string("a") + static_cast<char>(c) + "'b");
  return out;
}

TEST_P(StoreTest, TextsComeBackVerbatimWhateverTheyHold) {
  const auto texts = hostile_texts();
  ASSERT_GE(texts.size(), 100u);
  std::vector<ChangeRow> rows;
  for (const std::string& text : texts)
    rows.push_back({0, "team" + text, "id" + text, 1, "setting", text, text, text, text});
  {
    const auto one = store();
    ASSERT_EQ(one->add(rows, std::nullopt), Added::done);
    for (const std::string& text : texts)
      one->add_key({"id" + text, "digest" + text, text, text, "read", text, text, ""});
  }
  const auto again = store();
  const auto back = again->changes_after(0);
  ASSERT_EQ(back.size(), rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    EXPECT_EQ(back[i].team, rows[i].team);
    EXPECT_EQ(back[i].instrument, rows[i].instrument);
    EXPECT_EQ(back[i].statement, texts[i]);
    EXPECT_EQ(back[i].who, texts[i]);
    EXPECT_EQ(back[i].at, texts[i]);
    EXPECT_EQ(back[i].why, texts[i]);
  }
  const auto keys = again->keys();
  ASSERT_EQ(keys.size(), texts.size());
  for (const std::string& text : texts)
    EXPECT_TRUE(std::any_of(keys.begin(), keys.end(), [&](const KeyRow& key) { return key.name == text; })) << text;
  for (const std::string& text : texts) EXPECT_FALSE(again->kept(text, text));
}

TEST_P(StoreTest, ChangesComeInTheOrderInWhichTheyWereAdded) {
  const auto one = store();
  one->add({change_row("a", "1", 1)}, std::nullopt);
  one->add({change_row("b", "1", 1), change_row("a", "1", 2)}, std::nullopt);
  const auto all = one->changes_after(0);
  ASSERT_EQ(all.size(), 3u);
  EXPECT_LT(all[0].sequence, all[1].sequence);
  EXPECT_LT(all[1].sequence, all[2].sequence);
  EXPECT_EQ(one->changes_after(all[1].sequence).size(), 1u);
  EXPECT_EQ(one->changes_after(all[2].sequence).size(), 0u);
}

TEST_P(StoreTest, ATakenVersionAddsNothingAtAll) {
  const auto one = store();
  ASSERT_EQ(one->add({change_row("a", "1", 1)}, std::nullopt), Added::done);
  EXPECT_EQ(one->add({change_row("a", "2", 1), change_row("a", "1", 1)}, std::nullopt), Added::conflict);
  const KeptAnswer answer{"a", "key", "digest", 201, "where", "\"v1\"", "{}", "2026-01-02T00:00:00Z"};
  EXPECT_EQ(one->add({change_row("a", "1", 1)}, answer), Added::conflict);
  EXPECT_FALSE(one->kept("a", "key"));
  EXPECT_EQ(one->add({change_row("a", "1", 2)}, answer), Added::done);
  EXPECT_EQ(one->add({change_row("a", "1", 3)}, answer), Added::conflict);
  EXPECT_EQ(one->changes_after(0).size(), 2u);
  // The same versions of another team are another matter.
  EXPECT_EQ(one->add({change_row("b", "1", 1)}, std::nullopt), Added::done);
}

TEST_P(StoreTest, AnswersAreKeptForTheirScopeUntilForgotten) {
  const auto one = store();
  one->add({change_row("a", "1", 1)},
           KeptAnswer{"a", "k", "d", 201, "where", "\"v1\"", "{\"x\":1}", "2026-01-02T00:00:00Z"});
  const auto kept = one->kept("a", "k");
  ASSERT_TRUE(kept);
  EXPECT_EQ(kept->digest, "d");
  EXPECT_EQ(kept->status, 201);
  EXPECT_EQ(kept->etag, "\"v1\"");
  EXPECT_EQ(kept->body, "{\"x\":1}");
  EXPECT_FALSE(one->kept("b", "k"));
  one->forget_answers("2026-01-02T00:00:00Z");
  EXPECT_TRUE(one->kept("a", "k"));
  one->forget_answers("2026-01-02T00:00:01Z");
  EXPECT_FALSE(one->kept("a", "k"));
}

TEST_P(StoreTest, AKeyIsRevokedOnce) {
  const auto one = store();
  one->add_key({"k_1", "d1", "a", "n", "write", "2026-01-01T00:00:00Z", "local", ""});
  one->add_key({"k_2", "d2", "a", "n", "read", "2026-01-02T00:00:00Z", "local", ""});
  EXPECT_THROW(one->add_key({"k_3", "d2", "a", "n", "read", "2026-01-02T00:00:00Z", "local", ""}), StoreFailure);
  EXPECT_FALSE(one->revoke_key("k_9", "2026-02-01T00:00:00Z"));
  EXPECT_TRUE(one->revoke_key("k_1", "2026-02-01T00:00:00Z"));
  EXPECT_FALSE(one->revoke_key("k_1", "2026-03-01T00:00:00Z"));
  const auto keys = store()->keys();
  ASSERT_EQ(keys.size(), 2u);
  EXPECT_EQ(keys[0].revoked_at, "2026-02-01T00:00:00Z");
  EXPECT_EQ(keys[1].revoked_at, "");
}

TEST_P(StoreTest, TheDatabaseItselfRefusesToOverwriteAChange) {
  store()->add({change_row("a", "1", 1)}, std::nullopt);
  EXPECT_THROW(database()->run("UPDATE change SET why = $1", {"another reason"}), StoreFailure);
  EXPECT_THROW(database()->run("DELETE FROM change"), StoreFailure);
  EXPECT_THROW(database()->run("INSERT INTO change (team, instrument, version, kind, statement, who, at, why, seal) "
                               "VALUES ('a', '2', 1, 'rumour', '', '', '', '', '')"),
               StoreFailure);
  EXPECT_EQ(store()->changes_after(0).size(), 1u);
}

TEST_P(StoreTest, ARowThatWasAlteredIsToldAsDamage) {
  store()->add({change_row("a", "1", 1)}, std::nullopt);
  store()->add_key({"k_1", "d1", "a", "n", "write", "2026-01-01T00:00:00Z", "local", ""});
  const auto behind = database();
  behind->run(address.empty() ? "DROP TRIGGER change_is_not_overwritten"
                              : "DROP TRIGGER change_is_not_overwritten ON change");
  behind->run("UPDATE change SET statement = '{}'");
  behind->run("UPDATE access_key SET team = 'b'");
  for (const auto& read : {+[](Store& one) { one.changes_after(0); }, +[](Store& one) { one.keys(); }}) {
    try {
      read(*store());
      ADD_FAILURE() << "taken for sound";
    } catch (const StoreFailure& failure) {
      EXPECT_EQ(failure.kind(), StoreFailure::Kind::damaged);
    }
  }
}

TEST_P(StoreTest, TwoWritersAtOnceLoseNothing) {
  constexpr int kEach = 100;
  store()->add({change_row("a", "1", 1)}, std::nullopt);
  const auto writer = [&](const std::string& name) {
    const auto own = store();
    for (int done = 0; done < kEach;) {
      const int next = own->changes_after(0).back().version + 1;
      if (own->add({change_row("a", "1", next, name)}, std::nullopt) == Added::done) ++done;
    }
  };
  std::thread other(writer, "other");
  writer("one");
  other.join();
  const auto all = store()->changes_after(0);
  ASSERT_EQ(all.size(), 2u * kEach + 1);
  for (std::size_t i = 0; i < all.size(); ++i) EXPECT_EQ(all[i].version, static_cast<int>(i) + 1);
  EXPECT_EQ(std::count_if(all.begin(), all.end(), [](const ChangeRow& row) { return row.why == "one"; }), kEach);
}

TEST_P(StoreTest, TwoServersOnOneStoreSeeEachOther) {
  const auto now = [] {
    return std::chrono::system_clock::time_point(std::chrono::sys_days(std::chrono::days(20000)));
  };
  Registry one(store(), now), two(store(), now);
  const auto proposal = [](const std::string& note) {
    return *instrument::read_proposal(instrument::ChangeKind::description,
                                      R"({"id":"A","why":"w","note":")" + note + "\"}", true, {});
  };
  const Author author{"team", "Ana"};
  EXPECT_EQ(one.create(author, proposal("1"), {}).kind, Outcome::Kind::done);
  EXPECT_EQ(two.create(author, proposal("1"), {}).kind, Outcome::Kind::exists);
  EXPECT_EQ(two.change(author, "A", proposal("2"), 1, {}).kind, Outcome::Kind::done);
  EXPECT_EQ(one.change(author, "A", proposal("3"), 1, {}).kind, Outcome::Kind::stale);
  EXPECT_EQ(one.find("team", "A")->description().note, "2");  // the refused change has brought the copy up to date
  EXPECT_EQ(one.change(author, "A", proposal("3"), std::nullopt, {}).kind, Outcome::Kind::done);
  // Across servers too the same request is done once.
  EXPECT_EQ(one.change(author, "A", proposal("4"), std::nullopt, {"key", "d"}).kind, Outcome::Kind::done);
  EXPECT_EQ(two.change(author, "A", proposal("4"), std::nullopt, {"key", "d"}).kind, Outcome::Kind::replayed);
  EXPECT_EQ(two.change(author, "A", proposal("5"), std::nullopt, {"key", "e"}).kind, Outcome::Kind::reused);
  EXPECT_EQ(two.find("team", "A")->version, 4);
}

TEST_P(StoreTest, ManyThreadsReadAndWriteOneRegistry) {
  constexpr int kThreads = 4, kEach = 20;
  Registry registry(store(), [] { return std::chrono::system_clock::time_point{}; });
  std::atomic<bool> over = false;
  std::vector<std::thread> readers, writers;
  for (int t = 0; t < kThreads; ++t) {
    readers.emplace_back([&] {
      while (!over)
        for (const RecordPointer& record : registry.list("team")) EXPECT_TRUE(registry.find("team", record->id));
    });
    writers.emplace_back([&, t] {
      for (int i = 0; i < kEach; ++i) {
        const std::string id = std::to_string(t) + "-" + std::to_string(i);
        const auto made = *instrument::read_proposal(instrument::ChangeKind::description,
                                                     R"({"why":"w","id":")" + id + "\"}", true, {});
        EXPECT_EQ(registry.create({"team", "Ana"}, made, {}).kind, Outcome::Kind::done);
        EXPECT_EQ(registry.change({"team", "Ana"}, id, made, 1, {}).kind, Outcome::Kind::done);
      }
    });
  }
  for (std::thread& writer : writers) writer.join();
  over = true;
  for (std::thread& reader : readers) reader.join();
  EXPECT_EQ(registry.list("team").size(), static_cast<std::size_t>(kThreads) * kEach);
}

TEST_P(StoreTest, ABackupIsAWholeCopyOrSaysHowElse) {
  store()->add({change_row("a", "1", 1)}, std::nullopt);
  const auto one = store();
  if (!address.empty()) {
    try {
      one->backup();
      ADD_FAILURE();
    } catch (const StoreFailure& failure) {
      EXPECT_EQ(failure.kind(), StoreFailure::Kind::unsupported);
      EXPECT_NE(std::string(failure.what()).find("pg_dump"), std::string::npos);
    }
    return;
  }
  const std::string bytes = one->backup();
  EXPECT_TRUE(bytes.starts_with("SQLite format 3"));
  std::ofstream(folder.file("copy"), std::ios::binary) << bytes;
  one->add({change_row("a", "1", 2)}, std::nullopt);
  EXPECT_EQ(SqlStore(open_sqlite(folder.file("copy"))).changes_after(0).size(), 1u);
  EXPECT_EQ(std::distance(fs::directory_iterator(folder.path), fs::directory_iterator()), 4) << "a file was left over";
}

}  // namespace
}  // namespace agonic::server::registry
