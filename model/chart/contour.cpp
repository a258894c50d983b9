#include "model/chart/contour.hpp"

namespace agonic::chart {
namespace {
constexpr std::uint32_t kNone = 0xFFFFFFFF;
}

Contourer::Contourer(std::size_t columns, std::size_t rows)
    : columns_(columns), rows_(rows), next_(2 * columns * rows, kNone), reached_(2 * columns * rows, false) {}

void Contourer::link(std::uint32_t from, std::uint32_t to) {
  next_[from] = to;
  reached_[to] = true;
  used_.push_back(from);
}

void Contourer::follow(std::uint32_t start, bool closed, std::vector<Chain>& out) {
  Chain chain;
  chain.closed = closed;
  std::uint32_t edge = start;
  while (edge != kNone) {
    const std::uint32_t node = edge / 2;
    chain.edges.push_back({node, edge % 2 == 0 ? node + 1 : node + static_cast<std::uint32_t>(columns_)});
    reached_[edge] = false;
    const std::uint32_t after = next_[edge];
    next_[edge] = kNone;
    edge = after;
    if (edge == start) break;
  }
  out.push_back(std::move(chain));
}

void Contourer::trace(std::span<const double> value, std::vector<Chain>& out) {
  used_.clear();
  for (std::size_t row = 0; row + 1 < rows_; ++row) {
    const double* south = value.data() + row * columns_;
    const double* north = south + columns_;
    unsigned west = (south[0] >= 0 ? 1U : 0U) | (north[0] >= 0 ? 8U : 0U);
    for (std::size_t column = 0; column + 1 < columns_; ++column) {
      const unsigned east = (south[column + 1] >= 0 ? 2U : 0U) | (north[column + 1] >= 0 ? 4U : 0U);
      const unsigned corners = west | east;
      west = (east >> 1U & 1U) | (east << 1U & 8U);
      if (corners == 0 || corners == 15) continue;
      const auto node = static_cast<std::uint32_t>(row * columns_ + column);
      const std::uint32_t s = 2 * node, w = 2 * node + 1, e = w + 2, n = s + 2 * static_cast<std::uint32_t>(columns_);
      const auto joined = [&] {
        const double a = south[column], b = south[column + 1], c = north[column + 1], d = north[column];
        const double sum = a + c - b - d;
        return sum != 0 ? (a * c - b * d) / sum >= 0 : true;
      };
      // From edge to edge with the positive corners on the left.
      switch (corners) {
        case 1:
          link(s, w);
          break;
        case 2:
          link(e, s);
          break;
        case 3:
          link(e, w);
          break;
        case 4:
          link(n, e);
          break;
        case 5:
          if (joined()) {
            link(n, w);
            link(s, e);
          } else {
            link(s, w);
            link(n, e);
          }
          break;
        case 6:
          link(n, s);
          break;
        case 7:
          link(n, w);
          break;
        case 8:
          link(w, n);
          break;
        case 9:
          link(s, n);
          break;
        case 10:
          if (joined()) {
            link(w, s);
            link(e, n);
          } else {
            link(e, s);
            link(w, n);
          }
          break;
        case 11:
          link(e, n);
          break;
        case 12:
          link(w, e);
          break;
        case 13:
          link(s, e);
          break;
        default:
          link(w, s);
          break;
      }
    }
  }
  for (const std::uint32_t edge : used_)
    if (next_[edge] != kNone && !reached_[edge]) follow(edge, false, out);
  for (const std::uint32_t edge : used_)
    if (next_[edge] != kNone) follow(edge, true, out);
}

}  // namespace agonic::chart
