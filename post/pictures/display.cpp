// SPDX-License-Identifier: GPL-3.0-or-later
//
// Opens and closes the X display.
#include "post/pictures/display.h"

#include <X11/Xlib.h>
#include <fmt/format.h>

#include <cstdlib>

namespace cowlwright::post {

std::string display_fault() {
  constexpr const char* remedy = "Start the program under xvfb-run, or give --no-render.";
  const char* name = std::getenv("DISPLAY");
  if (name == nullptr || *name == '\0') {
    return fmt::format("DISPLAY is not set: VTK draws on an X display only. {}", remedy);
  }
  Display* display = XOpenDisplay(nullptr);
  if (display == nullptr) {
    return fmt::format("DISPLAY = {}: the X display cannot be opened. {}", name, remedy);
  }
  int opcode = 0;
  int event = 0;
  int error = 0;
  const bool has_glx = XQueryExtension(display, "GLX", &opcode, &event, &error) != 0;
  XCloseDisplay(display);
  return has_glx ? "" : fmt::format("DISPLAY = {}: the X display has no GLX extension. {}", name, remedy);
}

}  // namespace cowlwright::post
