// SPDX-License-Identifier: GPL-3.0-or-later
//
// SHA-256 (FIPS 180-4) of what comes piece by piece: files too large to be held.
#pragma once

#include <memory>
#include <string>
#include <string_view>

namespace cowlwright::base {

class Sha256Sum {
 public:
  Sha256Sum();
  ~Sha256Sum();
  Sha256Sum(const Sha256Sum&) = delete;
  Sha256Sum& operator=(const Sha256Sum&) = delete;

  void add(std::string_view bytes);

  /// Lower-case hexadecimal, of all that was added. Once only.
  std::string hex();

 private:
  struct Digest;
  std::unique_ptr<Digest> digest_;
};

}  // namespace cowlwright::base
