// Text that grows in place: what a batch is written into, without an allocation a piece.
#pragma once

#include <array>
#include <cstddef>
#include <cstring>
#include <memory>
#include <string_view>

namespace agonic {

/// A number with fixed decimals to `to`, which needs kFixedRoom bytes: exact ties to even as printf; never "-0.000".
/// @param decimals 0 to 9
/// @return behind the last character
char* write_fixed(char* to, double value, int decimals) noexcept;
/// The most that write_fixed writes: 309 digits, a sign, a point, 9 decimals.
inline constexpr std::size_t kFixedRoom = 320;

/// Appends only. Keeps its memory when cleared.
class Text {
 public:
  /// At least `size` bytes of room at the end; write there, then say advance().
  char* room(std::size_t size) {
    if (size > capacity_ - size_) grow(size);
    return data_.get() + size_;
  }
  void advance(const char* end) { size_ = static_cast<std::size_t>(end - data_.get()); }

  Text& operator+=(std::string_view text) {
    copy(room(text.size()), text.data(), text.size());
    size_ += text.size();
    return *this;
  }
  Text& operator+=(char c) {
    *room(1) = c;
    ++size_;
    return *this;
  }
  /// A literal: its length is known to the compiler.
  template <std::size_t N>
  Text& operator+=(const char (&literal)[N]) {
    std::memcpy(room(N), literal, N - 1);
    size_ += N - 1;
    return *this;
  }
  Text& fixed(double value, int decimals) {
    advance(write_fixed(room(kFixedRoom), value, decimals));
    return *this;
  }
  /// In [0, 360): what rounds to 360 prints as 0.
  Text& azimuth(double degrees, int decimals = 3) {
    const std::size_t at = size_;
    fixed(degrees, decimals);
    if (std::string_view(data_.get() + at, size_ - at).starts_with("360")) {
      std::memmove(data_.get() + at + 1, data_.get() + at + 3, size_ - at - 3);
      data_[at] = '0';
      size_ -= 2;
    }
    return *this;
  }
  void shorten(std::size_t size) noexcept { size_ = size; }
  void clear() noexcept { size_ = 0; }
  [[nodiscard]] std::size_t size() const noexcept { return size_; }
  [[nodiscard]] char* data() noexcept { return data_.get(); }
  [[nodiscard]] std::string_view view() const noexcept { return {data_.get(), size_}; }

 private:
  // Most pieces are short: two moves that overlap instead of a call.
  static void copy(char* to, const char* from, std::size_t size) noexcept {
    if (size >= 4 && size <= 32) {
      if (size >= 16)
        copy_ends<16>(to, from, size);
      else if (size >= 8)
        copy_ends<8>(to, from, size);
      else
        copy_ends<4>(to, from, size);
    } else if (size < 4) {
      for (std::size_t i = 0; i < size; ++i) to[i] = from[i];
    } else {
      std::memcpy(to, from, size);
    }
  }
  template <std::size_t N>
  static void copy_ends(char* to, const char* from, std::size_t size) noexcept {
    std::array<char, N> front, back;
    std::memcpy(front.data(), from, N);
    std::memcpy(back.data(), from + size - N, N);
    std::memcpy(to, front.data(), N);
    std::memcpy(to + size - N, back.data(), N);
  }
  void grow(std::size_t more);

  std::unique_ptr<char[]> data_;
  std::size_t size_ = 0, capacity_ = 0;
};

}  // namespace agonic
