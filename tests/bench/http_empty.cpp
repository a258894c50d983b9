// The peer of http.sh: an empty handler of the HTTP library, with the settings that agonicd gives it.
// Usage: http_empty PORT_FILE
#include <httplib.h>
#include <sys/socket.h>

#include <fstream>

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  httplib::Server server;
  socket_t listening = INVALID_SOCKET;
  server.set_tcp_nodelay(true);
  server.set_socket_options([&](socket_t socket) {
    const int yes = 1;
    ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    listening = socket;
  });
  server.set_keep_alive_max_count(1'000'000);
  server.set_keep_alive_timeout(15);
  server.new_task_queue = [] { return new httplib::ThreadPool(600); };
  server.Get("/v1/declination", [](const httplib::Request&, httplib::Response& out) { out.status = 200; });
  const int port = server.bind_to_any_port("127.0.0.1");
  ::listen(listening, 4096);
  std::ofstream(argv[1]) << port << '\n';
  return server.listen_after_bind() ? 0 : 1;
}
