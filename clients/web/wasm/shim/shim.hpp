// Put before every source that is compiled to WebAssembly: what Debian's libc++ 14 for wasm32 lacks of C++20 and what
// a module of one thread needs none of. The sources themselves are those of the service.
#pragma once

// There is no file system behind the module.
#define JSON_HAS_FILESYSTEM 0
#define JSON_HAS_EXPERIMENTAL_FILESYSTEM 0

#include <cctype>
#include <charconv>
#include <cstddef>
#include <cstdlib>
#include <memory>
#include <string>
#include <type_traits>

namespace std {

enum class agonic_chars_format { general };

/// [charconv.from.chars] for double by strtod, which wasi-libc rounds correctly. The syntax is the plain one: no space,
/// no plus, no hexadecimal.
inline from_chars_result from_chars(const char* first, const char* last, double& value) {
  const char* at = first;
  const auto digits = [&] {
    const char* const begin = at;
    while (at != last && *at >= '0' && *at <= '9') ++at;
    return at - begin;
  };
  if (at != last && *at == '-') ++at;
  auto figures = digits();
  if (at != last && *at == '.') {
    ++at;
    figures += digits();
  }
  if (figures == 0) return {first, errc::invalid_argument};
  if (at != last && (*at == 'e' || *at == 'E')) {
    const char* const before = at++;
    if (at != last && (*at == '-' || *at == '+')) ++at;
    if (digits() == 0) at = before;
  }
  const string text(first, at);
  const double parsed = strtod(text.c_str(), nullptr);
  if (parsed > 1.7976931348623157e308 || parsed < -1.7976931348623157e308) return {at, errc::result_out_of_range};
  value = parsed;
  return {at, errc()};
}

template <class T>
unique_ptr<T> make_unique_for_overwrite(size_t size) {
  return unique_ptr<T>(new remove_extent_t<T>[size]);
}

// One thread: nothing to lock, nobody to wait for.
#ifdef _LIBCPP_HAS_NO_THREADS
class mutex {
 public:
  void lock() noexcept {}
  void unlock() noexcept {}
};
template <class M>
class lock_guard {
 public:
  explicit lock_guard(M&) noexcept {}
};
template <class M>
class unique_lock {
 public:
  explicit unique_lock(M&) noexcept {}
  void unlock() noexcept {}
  void lock() noexcept {}
};
template <class... M>
class scoped_lock {
 public:
  explicit scoped_lock(M&...) noexcept {}
};
class condition_variable {
 public:
  void notify_one() noexcept {}
  void notify_all() noexcept {}
  template <class L>
  void wait(L&) noexcept {}
  template <class L, class P>
  void wait(L&, P) noexcept {}
};
#endif

}  // namespace std
