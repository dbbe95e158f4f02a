// SPDX-License-Identifier: GPL-3.0-or-later
//
// Whether pictures can be drawn here. VTK ends the process when it finds no X display, so it is asked first.
#pragma once

#include <string>

namespace cowlwright::post {

/// Why no picture can be drawn: no DISPLAY, it cannot be opened, or it has no GLX. Empty: they can.
std::string display_fault();

}  // namespace cowlwright::post
