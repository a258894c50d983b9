// A drawing with one of everything, and other people's readers for what comes of it.
#pragma once

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>

#include "model/paper/drawing.hpp"

namespace agonic::paper {

inline Drawing one_of_everything() {
  Drawing drawing;
  drawing.width = 100;
  drawing.height = 60;
  drawing.title = "A trial";
  drawing.description = "One of everything.";
  drawing.open({"frame", "The frame", Box{5, 5, 90, 50}});
  Path area;
  area.rectangle({10, 10, 30, 20}, 3).circle({25, 20}, 5);
  area.fill = {Colour{0xDDE8F0}, Hatch{kBlack, 2, 0.2, 45}};
  area.stroke = Stroke{Colour{0x204060}, 0.5, {2, 1}};
  area.name = "zone weak";
  area.title = "A weak zone";
  drawing.add(area);
  Path line;
  line.move_to({50, 10}).curve_to({60, 0}, {70, 40}, {80, 30}).line_to({120, 30});
  line.stroke = Stroke{Colour{0xA03020, 0.5}, 1, {}};
  drawing.add(line);
  Label label;
  label.at = {50, 45};
  label.text = "13.7° W <&> \"set\"";
  label.size = 5;
  label.anchor = Anchor::middle;
  label.level = Level::middle;
  label.weight = Weight::bold;
  label.rotation_deg = -30;
  label.halo = Stroke{kWhite, 1, {}};
  drawing.add(label);
  drawing.end();
  return drawing;
}

/// The exit status of a shell command that gets `bytes` in a file of its own, named by %; its output in `said`.
inline int with_file(const std::string& bytes, std::string command, std::string* said = nullptr) {
  const std::string file = ::testing::TempDir() + "paper_" + std::to_string(::getpid());
  std::ofstream(file, std::ios::binary) << bytes;
  command.replace(command.find('%'), 1, file);
  const int status = std::system((command + " >" + file + ".out 2>&1").c_str());
  if (said != nullptr) {
    std::ifstream in(file + ".out", std::ios::binary);
    said->assign(std::istreambuf_iterator<char>(in), {});
  }
  std::remove(file.c_str());
  std::remove((file + ".out").c_str());
  return status;
}

}  // namespace agonic::paper
