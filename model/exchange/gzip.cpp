#include "model/exchange/gzip.hpp"

#include <zlib.h>

#include <array>
#include <new>

namespace agonic::exchange {

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

bool looks_like_gzip(std::string_view bytes) noexcept { return bytes.starts_with("\x1F\x8B"); }

GzipPiece gzip_piece(std::string_view plain) {
  constexpr int kLevel = 1, kRaw = -15, kMemory = 8;
  GzipPiece piece;
  piece.length = plain.size();
  z_stream stream{};
  if (deflateInit2(&stream, kLevel, Z_DEFLATED, kRaw, kMemory, Z_DEFAULT_STRATEGY) != Z_OK) throw std::bad_alloc();
  // A flush adds at most six bytes to what deflateBound() allows for.
  piece.packed.resize(deflateBound(&stream, plain.size()) + 16);
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(plain.data()));
  stream.avail_in = static_cast<uInt>(plain.size());
  stream.next_out = reinterpret_cast<Bytef*>(piece.packed.data());
  stream.avail_out = static_cast<uInt>(piece.packed.size());
  deflate(&stream, Z_SYNC_FLUSH);  // ends on a whole byte, without marking the end of the stream
  piece.packed.resize(piece.packed.size() - stream.avail_out);
  deflateEnd(&stream);
  piece.checksum = static_cast<std::uint32_t>(crc32_z(0, reinterpret_cast<const Bytef*>(plain.data()), plain.size()));
  return piece;
}

std::string_view GzipJoiner::head() noexcept {
  // Magic, deflate, no flags, no time, fastest, system unknown (RFC 1952 2.3).
  return std::string_view("\x1F\x8B\x08\0\0\0\0\0\x04\xFF", 10);
}

void GzipJoiner::add(const GzipPiece& piece) noexcept {
  checksum_ = static_cast<std::uint32_t>(crc32_combine(checksum_, piece.checksum, static_cast<z_off_t>(piece.length)));
  length_ += piece.length;
}

std::string GzipJoiner::tail() const {
  std::string out("\x03\0", 2);  // an empty last block with fixed codes (RFC 1951 3.2.6)
  for (const std::uint64_t word : {std::uint64_t{checksum_}, length_})
    for (unsigned shift = 0; shift < 32; shift += 8) out += static_cast<char>(word >> shift & 0xFF);
  return out;
}

}  // namespace agonic::exchange
