#include "server/http/inflate.hpp"

#include <zlib.h>

#include <array>
#include <new>

namespace agonic::server {

struct Inflater::State {
  z_stream stream{};
  bool ended = false;  // the current member's checksum has been read and found right
  std::array<char, 64 * 1024> out{};
};

Inflater::Inflater() : state_(std::make_unique<State>()) {
  // 16: gzip only, no zlib or raw streams.
  if (inflateInit2(&state_->stream, 15 + 16) != Z_OK) throw std::bad_alloc();
}

Inflater::~Inflater() { inflateEnd(&state_->stream); }

Inflater::Outcome Inflater::feed(std::string_view bytes, const std::function<bool(std::string_view)>& receiver) {
  z_stream& stream = state_->stream;
  // zlib does not write to its input; its interface is older than const.
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  bool more = stream.avail_in > 0;
  while (more) {
    if (state_->ended) {
      // Another member may follow (RFC 1952 2.2); anything else fails in its header.
      if (stream.avail_in == 0) break;
      if (inflateReset(&stream) != Z_OK) return Outcome::malformed;
      state_->ended = false;
    }
    stream.next_out = reinterpret_cast<Bytef*>(state_->out.data());
    stream.avail_out = static_cast<uInt>(state_->out.size());
    const int result = inflate(&stream, Z_NO_FLUSH);
    if (result != Z_OK && result != Z_STREAM_END && result != Z_BUF_ERROR) return Outcome::malformed;
    state_->ended = result == Z_STREAM_END;
    const std::size_t made = state_->out.size() - stream.avail_out;
    if (made > 0 && !receiver({state_->out.data(), made})) return Outcome::stopped;
    // A full output buffer may leave more inside zlib even when the input is used up.
    more = stream.avail_in > 0 || stream.avail_out == 0;
    if (result == Z_BUF_ERROR && made == 0) break;
  }
  return Outcome::ok;
}

bool Inflater::at_end() const { return state_->ended; }

}  // namespace agonic::server
