// SPDX-License-Identifier: GPL-3.0-or-later
//
// zlib in one go.
#include "post/pictures/deflated.h"

#include <zlib.h>

#include <stdexcept>

namespace cowlwright::post {

std::string deflated(const std::string& raw) {
  uLongf size = compressBound(static_cast<uLong>(raw.size()));
  std::string packed(size, '\0');
  const int status = compress2(reinterpret_cast<Bytef*>(packed.data()),
                               &size,
                               reinterpret_cast<const Bytef*>(raw.data()),
                               static_cast<uLong>(raw.size()),
                               Z_BEST_COMPRESSION);
  if (status != Z_OK) {
    throw std::runtime_error("zlib cannot deflate");
  }
  packed.resize(size);
  return packed;
}

}  // namespace cowlwright::post
