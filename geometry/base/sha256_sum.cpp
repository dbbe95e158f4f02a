// SPDX-License-Identifier: GPL-3.0-or-later
//
// SHA-256 by OpenSSL's libcrypto.
#include "geometry/base/sha256_sum.h"

#include <fmt/format.h>
#include <openssl/evp.h>

#include <array>
#include <stdexcept>

namespace cowlwright::base {
namespace {

void require(int outcome) {
  if (outcome != 1) throw std::runtime_error("SHA-256 is not available in libcrypto");
}

}  // namespace

struct Sha256Sum::Digest {
  std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)> context{EVP_MD_CTX_new(), &EVP_MD_CTX_free};
};

Sha256Sum::Sha256Sum() : digest_(std::make_unique<Digest>()) {
  require(EVP_DigestInit_ex(digest_->context.get(), EVP_sha256(), nullptr));
}

Sha256Sum::~Sha256Sum() = default;

void Sha256Sum::add(std::string_view bytes) {
  require(EVP_DigestUpdate(digest_->context.get(), bytes.data(), bytes.size()));
}

std::string Sha256Sum::hex() {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned int size = 0;
  require(EVP_DigestFinal_ex(digest_->context.get(), digest.data(), &size));
  std::string text;
  for (unsigned int i = 0; i < size; ++i) text += fmt::format("{:02x}", digest.at(i));
  return text;
}

}  // namespace cowlwright::base
