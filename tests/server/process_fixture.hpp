// agonicd started as an operator would, on a free port and with a state folder of its own.
#pragma once

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>
#include <vector>

#include "tests/server/client.hpp"

namespace agonic::server {

namespace fs = std::filesystem;
using namespace std::chrono_literals;

inline std::string text_of(const fs::path& path) {
  std::ifstream file(path);
  return {std::istreambuf_iterator<char>(file), {}};
}

class ProcessTest : public testing::Test {
 protected:
  ProcessTest() : folder(fs::temp_directory_path() / ("agonic_process_" + std::to_string(::getpid()))) {
    fs::remove_all(folder);
    fs::create_directories(folder);
  }
  ~ProcessTest() override {
    for (const pid_t child : running) {
      ::kill(child, SIGKILL);
      ::waitpid(child, nullptr, 0);
    }
    fs::remove_all(folder);
  }

  pid_t start(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), AGONICD);
    // The registry in the test's own folder, never in that of whoever runs the tests.
    if (std::find(arguments.begin(), arguments.end(), "--state-dir") == arguments.end())
      arguments.insert(arguments.end(), {"--state-dir", (folder / "state").string()});
    const pid_t child = ::fork();
    if (child == 0) {
      const int errors = ::open((folder / "errors").c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
      ::dup2(errors, 2);
      std::vector<char*> pointers;
      for (std::string& argument : arguments) pointers.push_back(argument.data());
      pointers.push_back(nullptr);
      ::execv(AGONICD, pointers.data());
      ::_exit(127);
    }
    running.push_back(child);
    return child;
  }
  /// The exit code; -1 if it does not end in time.
  int exit_code(pid_t child, std::chrono::milliseconds patience = 10s) {
    for (const auto end = std::chrono::steady_clock::now() + patience; std::chrono::steady_clock::now() < end;
         std::this_thread::sleep_for(5ms)) {
      int status = 0;
      if (::waitpid(child, &status, WNOHANG) != child) continue;
      std::erase(running, child);
      return WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status);
    }
    return -1;
  }
  /// Starts it on a free port and waits until it listens.
  pid_t serve(std::vector<std::string> more = {}) {
    const fs::path file = folder / "port";
    fs::remove(file);
    more.insert(more.end(), {"--port", "0", "--port-file", file.string()});
    const pid_t child = start(std::move(more));
    for (int i = 0; i < 2000 && !fs::exists(file); ++i) std::this_thread::sleep_for(5ms);
    const std::string text = text_of(file);
    port = text.empty() ? 0 : std::stoi(text);
    EXPECT_GT(port, 0) << text_of(folder / "errors");
    return child;
  }
  std::string ask(const std::string& request) const {
    Client client(port);
    client.send(request);
    return client.rest();
  }
  std::string get(const std::string& target) const {
    return ask("GET " + target + " HTTP/1.1\r\nHost: t\r\nConnection: close\r\n\r\n");
  }

  const fs::path folder;
  std::vector<pid_t> running;
  int port = 0;
};

}  // namespace agonic::server
