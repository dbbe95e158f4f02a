// SPDX-License-Identifier: GPL-3.0-or-later
//
// The map of margins that `cowlwright envelope` wrote, checked before the page shows it.
#pragma once

#include <filesystem>
#include <string>

namespace cowlwright::post {

struct EnvelopeFile {
  std::string text;     ///< JSON as it was written; empty: none is shown
  std::string trouble;  ///< why one that is there is not shown; empty: there is none, or it is sound
};

/// envelope.json in this folder, when there is one.
EnvelopeFile read_envelope(const std::filesystem::path& folder);

/// Why a text is no envelope the page can show, in a sentence; empty: it is.
std::string envelope_fault(const std::string& text);

}  // namespace cowlwright::post
