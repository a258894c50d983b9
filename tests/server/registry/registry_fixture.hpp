// A service with a registry in memory, a clock that can be moved, and requests of several teams.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "server/registry/registry.hpp"
#include "server/registry/secret.hpp"
#include "server/registry/sql_store.hpp"
#include "server/registry/sqlite_database.hpp"
#include "tests/server/service_fixture.hpp"

namespace agonic::server::registry {

/// A store that can be made to fail.
class FaultyStore final : public Store {
 private:
  template <class Work>
  auto read(const Work& work) {
    if (reads_fail) throw StoreFailure(*reads_fail, "out of order");
    return work();
  }
  template <class Work>
  auto write(const Work& work) {
    if (writes_fail) throw StoreFailure(*writes_fail, "out of order");
    return read(work);
  }

 public:
  FaultyStore() : inner_(open_sqlite(":memory:")) {}
  std::vector<ChangeRow> changes_after(std::int64_t sequence) override {
    return read([&] { return inner_.changes_after(sequence); });
  }
  Added add(const std::vector<ChangeRow>& rows, const std::optional<KeptAnswer>& answer) override {
    return write([&] { return inner_.add(rows, answer); });
  }
  std::optional<KeptAnswer> kept(const std::string& scope, const std::string& key) override {
    return read([&] { return inner_.kept(scope, key); });
  }
  void forget_answers(const std::string& before) override {
    write([&] { inner_.forget_answers(before); });
  }
  std::vector<KeyRow> keys() override {
    return read([&] { return inner_.keys(); });
  }
  void add_key(const KeyRow& row) override {
    write([&] { inner_.add_key(row); });
  }
  bool revoke_key(const std::string& id, const std::string& at) override {
    return write([&] { return inner_.revoke_key(id, at); });
  }
  std::string backup() override {
    return read([&] { return inner_.backup(); });
  }

  std::optional<StoreFailure::Kind> reads_fail, writes_fail;

 private:
  SqlStore inner_;
};

class RegistryServiceTest : public ServiceTest {
 protected:
  /// One service and its registry.
  struct World {
    FaultyStore* store = nullptr;
    std::unique_ptr<Registry> registry;
    std::unique_ptr<Service> service;
    std::string operator_key = new_secret();
  };
  static Config loopback() {
    Config small;
    small.registry_rate = 100000;
    return small;
  }
  World make(const Config& settings = loopback()) {
    World world;
    auto store = std::make_unique<FaultyStore>();
    world.store = store.get();
    world.registry = std::make_unique<Registry>(std::move(store), [this] { return clock; });
    world.service = std::make_unique<Service>(
        settings, engine, log, [this] { return clock; },
        RegistryAccess{world.registry.get(), digest_of(world.operator_key), true});
    return world;
  }

  /// @param key empty: none
  Response call(World& world, const std::string& method, const std::string& target, const std::string& key = {},
                const std::string& body = {}, std::vector<NamedText> more = {}) {
    if (std::none_of(more.begin(), more.end(), [](const NamedText& one) { return one.first == "host"; }))
      more.emplace_back("host", "127.0.0.1:8080");
    if (!key.empty()) more.emplace_back("authorization", "Bearer " + key);
    if (!body.empty()) {
      more.emplace_back("content-type", "application/json");
      more.emplace_back("content-length", std::to_string(body.size()));
    } else if (method == "POST" || method == "PUT") {
      more.emplace_back("content-length", "0");
    }
    Request request = made(method, target, std::move(more));
    if (const auto fault = check_head(request, target, "HTTP/1.1")) return world.service->handle_fault(*fault);
    TextBody text(body);
    return world.service->handle(request, text);
  }
  std::string key_for(World& world, const std::string& team, const std::string& scope = "write") {
    KeyRow row;
    row.team = team;
    row.name = team + "'s key";
    row.scope = scope;
    row.made_by = "test";
    return world.registry->add_key(row);
  }
  static std::string word_of(const Response& response) {
    return response.content_type == "application/problem+json" ? problem_word(response)
                                                               : std::to_string(response.status);
  }

  std::chrono::system_clock::time_point clock = stub_time();
  static constexpr const char* kNew = R"({"id":"A-1","note":"invented","why":"new"})";
};

}  // namespace agonic::server::registry
