// A client on a raw socket: it sends any bytes, and reads what comes.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <string>
#include <string_view>

namespace agonic::server {

/// A client that sends any bytes.
class Client {
 public:
  explicit Client(int port, int receive_buffer = 0) : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    if (receive_buffer > 0) ::setsockopt(socket_, SOL_SOCKET, SO_RCVBUF, &receive_buffer, sizeof receive_buffer);
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_port = htons(static_cast<std::uint16_t>(port));
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    connected = ::connect(socket_, reinterpret_cast<sockaddr*>(&address), sizeof address) == 0;
  }
  ~Client() { close(); }
  Client(const Client&) = delete;
  Client& operator=(const Client&) = delete;

  void close() {
    if (socket_ >= 0) ::close(socket_);
    socket_ = -1;
  }
  void end() { ::shutdown(socket_, SHUT_WR); }
  bool send(std::string_view bytes) {
    while (!bytes.empty()) {
      const ssize_t sent = ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
      if (sent <= 0) return false;
      bytes.remove_prefix(static_cast<std::size_t>(sent));
    }
    return true;
  }
  /// Everything until the server closes; "(timeout)" is appended if it does not.
  std::string rest(std::chrono::milliseconds patience = std::chrono::seconds(5)) {
    std::string text;
    char piece[16384];
    for (;;) {
      pollfd entry{socket_, POLLIN, 0};
      if (::poll(&entry, 1, static_cast<int>(patience.count())) <= 0) return text + "(timeout)";
      const ssize_t got = ::recv(socket_, piece, sizeof piece, 0);
      if (got <= 0) return text;
      text.append(piece, static_cast<std::size_t>(got));
    }
  }
  /// One response with a Content-Length.
  std::string response(std::chrono::milliseconds patience = std::chrono::seconds(5)) {
    std::string text;
    for (;;) {
      const std::size_t end = text.find("\r\n\r\n");
      const std::size_t at = text.find("Content-Length: ");
      if (end != std::string::npos && at < end && text.size() - end - 4 >= std::stoul(text.substr(at + 16)))
        return text;
      pollfd entry{socket_, POLLIN, 0};
      char piece[1];
      if (::poll(&entry, 1, static_cast<int>(patience.count())) <= 0) return text + "(timeout)";
      if (::recv(socket_, piece, sizeof piece, 0) <= 0) return text + "(closed)";
      text += piece[0];
    }
  }

  bool connected = false;

 private:
  int socket_;
};

}  // namespace agonic::server
