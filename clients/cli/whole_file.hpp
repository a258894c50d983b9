// A file that is taken as a whole.
#pragma once

#include <cstddef>
#include <string>

namespace agonic::cli {

/// The file's bytes, or standard input's for "-"; of a longer one `most` and some more, so that the caller sees it.
/// Throws std::runtime_error naming the file.
std::string whole_file(const std::string& path, std::size_t most);

}  // namespace agonic::cli
