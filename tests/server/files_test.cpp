// Options, coefficient folders, the port file, the pool of threads.
#include "server/files.hpp"

#include <gtest/gtest.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <latch>
#include <thread>

#include "coefficients/folder.hpp"
#include "server/config.hpp"
#include "server/http/worker_pool.hpp"

namespace agonic::server {
namespace {

namespace fs = std::filesystem;

class FilesTest : public testing::Test {
 protected:
  FilesTest() : folder(fs::temp_directory_path() / ("agonic_files_" + std::to_string(::getpid()))) {
    fs::remove_all(folder);
    fs::create_directories(folder);
  }
  ~FilesTest() override { fs::remove_all(folder); }
  void put(const std::string& name, const std::string& text) {
    fs::create_directories((folder / name).parent_path());
    std::ofstream(folder / name) << text;
  }
  const fs::path folder;
};

TEST_F(FilesTest, CoefficientsAreReadInTheOrderOfTheirNames) {
  put("b.COF", "cof");
  put("a/table.txt", "table");
  put("a/about.txt", "about");
  put("c.shc", "shc");
  put("README.md", "no model");
  const auto texts = read_coefficient_folder(folder.string());
  ASSERT_EQ(texts.size(), 3u);
  EXPECT_EQ(texts[0].table, "table");
  EXPECT_EQ(texts[0].sidecar, "about");
  EXPECT_EQ(texts[1].table, "cof");
  EXPECT_EQ(texts[1].table_name, (folder / "b.COF").string());
  EXPECT_EQ(texts[2].table, "shc");
}

TEST_F(FilesTest, AMissingSidecarOrFolderIsNamed) {
  put("a/table.txt", "table");
  try {
    read_coefficient_folder(folder.string());
    FAIL() << "read a table without its sidecar";
  } catch (const std::runtime_error& error) {
    EXPECT_NE(std::string(error.what()).find("about.txt"), std::string::npos) << error.what();
  }
  EXPECT_THROW(read_coefficient_folder((folder / "none").string()), std::runtime_error);
  fs::create_directories(folder / "empty");
  EXPECT_THROW(read_coefficient_folder((folder / "empty").string()), std::runtime_error);
}

TEST_F(FilesTest, AFileIsWrittenWholeOrNotAtAll) {
  const fs::path path = folder / "port";
  write_atomically(path.string(), "1\n");
  write_atomically(path.string(), "8080\n");
  std::ifstream file(path);
  const std::string text{std::istreambuf_iterator<char>(file), {}};
  EXPECT_EQ(text, "8080\n");
  EXPECT_EQ(std::distance(fs::directory_iterator(folder), fs::directory_iterator()), 1);
  EXPECT_THROW(write_atomically((folder / "none" / "port").string(), "1"), std::runtime_error);
}

std::variant<Config, EndNow> parsed(std::vector<const char*> arguments) {
  arguments.insert(arguments.begin(), "agonicd");
  return parse_config(static_cast<int>(arguments.size()), arguments.data());
}

TEST(ConfigTest, OptionsComeBeforeTheEnvironment) {
  ::setenv("AGONIC_PORT", "81", 1);
  EXPECT_EQ(std::get<Config>(parsed({})).port, 81);
  EXPECT_EQ(std::get<Config>(parsed({"--port", "82"})).port, 82);
  ::unsetenv("AGONIC_PORT");
  EXPECT_EQ(std::get<Config>(parsed({})).port, 8080);
  EXPECT_EQ(std::get<Config>(parsed({})).host, "127.0.0.1");
}

TEST(ConfigTest, WrongOptionsEndWith2) {
  testing::internal::CaptureStderr();
  for (const auto& wrong :
       {std::vector<const char*>{"--port", "65536"}, {"--port", "x"}, {"--none"}, {"--threads", "0"}})
    EXPECT_EQ(std::get<EndNow>(parsed(wrong)).exit_code, 2) << wrong[0];
  EXPECT_NE(testing::internal::GetCapturedStderr(), "");
  testing::internal::CaptureStdout();
  EXPECT_EQ(std::get<EndNow>(parsed({"--help"})).exit_code, 0);
  EXPECT_NE(testing::internal::GetCapturedStdout().find("agonicd --port 0"), std::string::npos);
}

TEST(WorkerPoolTest, WithAllThreadsBusyAndTheQueueFullTheRestIsTurnedAway) {
  WorkerPool pool(2, 1);
  std::latch busy(2), let_go(1), turned(2);
  std::atomic<int> done = 0;
  for (int i = 0; i < 2; ++i)
    pool.enqueue([&] {
      busy.count_down();
      let_go.wait();
      EXPECT_FALSE(WorkerPool::turning_away());
      ++done;
    });
  busy.wait();
  pool.enqueue([&] { ++done; });  // waits
  for (int i = 0; i < 2; ++i)
    pool.enqueue([&] {
      EXPECT_TRUE(WorkerPool::turning_away());
      turned.count_down();
    });
  turned.wait();
  EXPECT_EQ(done, 0);
  let_go.count_down();
  pool.shutdown(std::chrono::seconds(5), [] { ADD_FAILURE() << "was not late"; });
  EXPECT_EQ(done, 3);
}

TEST(WorkerPoolTest, ALateStopIsTold) {
  WorkerPool pool(1, 0);
  std::atomic<bool> cut = false;
  std::latch started(1);
  pool.enqueue([&] {
    started.count_down();
    while (!cut) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  });
  started.wait();
  pool.shutdown(std::chrono::milliseconds(20), [&] { cut = true; });
  EXPECT_TRUE(cut);
}

}  // namespace
}  // namespace agonic::server
