#include "model/review/checks.hpp"

#include <gtest/gtest.h>

#include <set>
#include <string_view>

namespace agonic::review {
namespace {

TEST(ReviewChecks, AreInTheOrderOfTheirNamesEachWithWordsAndACodeOfItsOwn) {
  std::set<std::string_view> codes;
  for (const reading::CheckInfo& check : reading::all_checks()) codes.insert(check.code);
  std::size_t place = 0;
  for (const CheckInfo& check : all_review_checks()) {
    EXPECT_EQ(static_cast<std::size_t>(check.check), place++) << check.code;
    EXPECT_EQ(info(check.check).code, check.code);
    EXPECT_TRUE(codes.insert(check.code).second) << check.code;
    EXPECT_EQ(check.code.find_first_not_of("abcdefghijklmnopqrstuvwxyz-"), std::string_view::npos) << check.code;
    EXPECT_FALSE(check.meaning.empty());
    EXPECT_FALSE(check.remedy.empty());
  }
  EXPECT_EQ(place, static_cast<std::size_t>(Check::rows_repeated) + 1);
}

}  // namespace
}  // namespace agonic::review
