// SPDX-License-Identifier: GPL-3.0-or-later
//
// Bytes packed by zlib, as pictures and scenes are stored.
#pragma once

#include <string>

namespace cowlwright::post {

/// A zlib stream (RFC 1950), packed as far as it goes. @throws std::runtime_error  when zlib cannot.
std::string deflated(const std::string& raw);

}  // namespace cowlwright::post
