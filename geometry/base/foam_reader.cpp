// SPDX-License-Identifier: GPL-3.0-or-later
//
// Tokens and lists of OpenFOAM files. Raw lists are little-endian and stand between "(" and ")".
#include "geometry/base/foam_reader.h"

#include "geometry/base/error.h"

#include <fmt/format.h>
#include <zlib.h>

#include <algorithm>
#include <charconv>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <memory>

namespace cowlwright::base {

namespace {

constexpr std::string_view punctuation = "(){}[];";

bool is_space(char c) {
  return c == ' ' || c == '\n' || c == '\t' || c == '\r' || c == '\v' || c == '\f';
}

std::filesystem::path gzip_name(const std::filesystem::path& path) {
  return path.string() + ".gz";
}

/// zlib hands plain files through unchanged.
std::string read_plain_or_gzip(const std::filesystem::path& path) {
  const std::unique_ptr<gzFile_s, int (*)(gzFile)> file(gzopen(path.c_str(), "rb"), gzclose);
  if (!file) {
    throw ResultError(fmt::format("{}: cannot be opened. Check its permissions.", path.string()));
  }
  gzbuffer(file.get(), 1U << 18U);
  std::string bytes;
  const auto size = static_cast<std::size_t>(std::filesystem::file_size(path));
  const std::size_t block = std::clamp<std::size_t>(size, 1U << 12U, 1U << 20U);
  bytes.reserve(size + block);
  for (;;) {
    const std::size_t before = bytes.size();
    bytes.resize(before + block);
    const int got = gzread(file.get(), bytes.data() + before, static_cast<unsigned>(block));
    if (got < 0) {
      throw ResultError(
          fmt::format("{}: cannot be read: {}. Wait until the solver has written it, or reconstruct again.",
                      path.string(),
                      gzerror(file.get(), nullptr)));
    }
    bytes.resize(before + static_cast<std::size_t>(got));
    if (got == 0) {
      break;
    }
  }
  int error = Z_OK;
  gzerror(file.get(), &error);
  if (error != Z_OK) {
    throw ResultError(fmt::format(
        "{}: compressed data ends too early. Wait until the solver has written it, or reconstruct again.",
        path.string()));
  }
  return bytes;
}

/// Bytes of one element of a raw list; 0 for types that are never written raw.
std::size_t element_bytes(std::string_view type, const FoamHeader& header) {
  const auto scalar = static_cast<std::size_t>(header.scalar_bytes);
  if (type == "label") {
    return static_cast<std::size_t>(header.label_bytes);
  }
  if (type == "bool") {
    return 1;
  }
  if (type == "scalar" || type == "sphericalTensor") {
    return scalar;
  }
  if (type == "vector") {
    return 3 * scalar;
  }
  if (type == "symmTensor") {
    return 6 * scalar;
  }
  return type == "tensor" ? 9 * scalar : 0;
}

double scalar_at(const char* data, std::size_t index, int bytes) {
  if (bytes == 4) {
    float value = 0.0F;
    std::memcpy(&value, data + index * 4, 4);
    return static_cast<double>(value);
  }
  double value = 0.0;
  std::memcpy(&value, data + index * 8, 8);
  return value;
}

std::int64_t label_at(const char* data, std::size_t index, int bytes) {
  if (bytes == 4) {
    std::int32_t value = 0;
    std::memcpy(&value, data + index * 4, 4);
    return value;
  }
  std::int64_t value = 0;
  std::memcpy(&value, data + index * 8, 8);
  return value;
}

}  // namespace

bool foam_file_exists(const std::filesystem::path& path) {
  return std::filesystem::is_regular_file(path) || std::filesystem::is_regular_file(gzip_name(path));
}

FoamReader FoamReader::open(const std::filesystem::path& path) {
  const bool is_plain = std::filesystem::is_regular_file(path);
  if (!is_plain && !foam_file_exists(path)) {
    throw ResultError(
        fmt::format("{}: missing. The case has no such result; run the solver, or "
                    "reconstruct, and extract again.",
                    path.string()));
  }
  FoamReader reader;
  const std::filesystem::path found = is_plain ? path : gzip_name(path);
  reader.path_ = found.string();
  reader.bytes_ = read_plain_or_gzip(found);
  reader.read_header();
  return reader;
}

void FoamReader::read_header() {
  if (next() != "FoamFile") {
    fail("no FoamFile header: not an OpenFOAM file, or still being written");
  }
  expect("{");
  while (peek() != "}") {
    const std::string key(next());
    if (key.empty()) {
      fail("the header has no end: the file is cut short");
    }
    const std::string value(next());
    if (key == "format") {
      header_.format = value;
    } else if (key == "class") {
      header_.foam_class = value;
    } else if (key == "arch") {
      if (value.find("MSB") != std::string::npos) {
        fail("written big-endian (arch MSB): convert it on the machine that ran the solver");
      }
      header_.label_bytes = value.find("label=64") != std::string::npos ? 8 : 4;
      header_.scalar_bytes = value.find("scalar=32") != std::string::npos ? 4 : 8;
    }
    while (peek() != ";" && !peek().empty()) {
      next();
    }
    expect(";");
  }
  expect("}");
  if (header_.format != "ascii" && header_.format != "binary") {
    fail(fmt::format("format = {}: must be ascii or binary", header_.format));
  }
}

void FoamReader::skip_space() {
  while (place_ < bytes_.size()) {
    if (is_space(bytes_[place_])) {
      ++place_;
    } else if (bytes_.compare(place_, 2, "//") == 0) {
      const std::size_t end = bytes_.find('\n', place_);
      place_ = end == std::string::npos ? bytes_.size() : end;
    } else if (bytes_.compare(place_, 2, "/*") == 0) {
      const std::size_t end = bytes_.find("*/", place_ + 2);
      place_ = end == std::string::npos ? bytes_.size() : end + 2;
    } else {
      return;
    }
  }
}

std::string_view FoamReader::next() {
  skip_space();
  if (place_ >= bytes_.size()) {
    return {};
  }
  const std::string_view rest = std::string_view(bytes_).substr(place_);
  if (punctuation.find(rest.front()) != std::string_view::npos) {
    ++place_;
    return rest.substr(0, 1);
  }
  if (rest.front() == '"') {
    const std::size_t end = rest.find('"', 1);
    if (end == std::string_view::npos) {
      fail("a quoted text has no end");
    }
    place_ += end + 1;
    return rest.substr(1, end - 1);
  }
  std::size_t end = 1;
  while (end < rest.size() && !is_space(rest[end]) && punctuation.find(rest[end]) == std::string_view::npos) {
    ++end;
  }
  place_ += end;
  return rest.substr(0, end);
}

std::string_view FoamReader::peek() {
  const std::size_t before = place_;
  const std::string_view token = next();
  place_ = before;
  return token;
}

void FoamReader::expect(std::string_view token) {
  const std::string_view found = next();
  if (found != token) {
    fail(
        fmt::format("expected '{}', found '{}'", token, found.empty() ? "end of file" : found.substr(0, 40)));
  }
}

std::int64_t FoamReader::integer() {
  const std::string_view token = next();
  std::int64_t value = 0;
  const auto result = std::from_chars(token.data(), token.data() + token.size(), value);
  if (token.empty() || result.ec != std::errc() || result.ptr != token.data() + token.size()) {
    fail(fmt::format("expected a whole number, found '{}'",
                     token.empty() ? "end of file" : token.substr(0, 40)));
  }
  return value;
}

double FoamReader::number() {
  const std::string_view token = next();
  double value = 0.0;
  const auto result = std::from_chars(token.data(), token.data() + token.size(), value);
  if (token.empty() || result.ec != std::errc() || result.ptr != token.data() + token.size()) {
    fail(fmt::format("expected a number, found '{}'", token.empty() ? "end of file" : token.substr(0, 40)));
  }
  return value;
}

std::size_t FoamReader::list_size() {
  if (peek().substr(0, 5) == "List<") {
    next();
  }
  const std::int64_t size = integer();
  if (size < 0 || size > std::numeric_limits<Label>::max()) {
    fail(fmt::format("list of {} values: must be 0 to {}", size, std::numeric_limits<Label>::max()));
  }
  return static_cast<std::size_t>(size);
}

const char* FoamReader::raw(std::size_t n_items, std::size_t item_bytes) {
  expect("(");
  const std::size_t n_bytes = n_items * item_bytes;
  if (bytes_.size() - place_ < n_bytes + 1) {
    fail(
        fmt::format("cut short: a list of {} values needs {} more bytes, {} are left. Wait until the solver "
                    "has written it, or reconstruct again",
                    n_items,
                    n_bytes + 1,
                    bytes_.size() - place_));
  }
  const char* data = bytes_.data() + place_;
  place_ += n_bytes;
  expect(")");
  return data;
}

template <typename Value, typename ReadOne>
std::vector<Value> FoamReader::text_list(std::size_t size, ReadOne read_one) {
  if (peek() == "{") {
    next();
    std::vector<Value> values(size, read_one());
    expect("}");
    return values;
  }
  std::vector<Value> values;
  if (size == 0 && peek() != "(") {
    return values;
  }
  values.reserve(std::min(size, bytes_.size()));
  expect("(");
  for (std::size_t i = 0; i < size; ++i) {
    values.push_back(read_one());
  }
  expect(")");
  return values;
}

std::vector<Label> FoamReader::labels() {
  const auto checked = [this](std::int64_t value) {
    if (value < 0 || value > std::numeric_limits<Label>::max()) {
      fail(fmt::format("label {}: must be 0 to {}", value, std::numeric_limits<Label>::max()));
    }
    return static_cast<Label>(value);
  };
  const std::size_t size = list_size();
  if (!is_binary() || size == 0) {
    return text_list<Label>(size, [&] { return checked(integer()); });
  }
  const char* data = raw(size, static_cast<std::size_t>(header_.label_bytes));
  std::vector<Label> values(size);
  for (std::size_t i = 0; i < size; ++i) {
    values[i] = checked(label_at(data, i, header_.label_bytes));
  }
  return values;
}

std::vector<double> FoamReader::scalars() {
  const std::size_t size = list_size();
  if (!is_binary() || size == 0) {
    return text_list<double>(size, [this] { return number(); });
  }
  const char* data = raw(size, static_cast<std::size_t>(header_.scalar_bytes));
  std::vector<double> values(size);
  for (std::size_t i = 0; i < size; ++i) {
    values[i] = scalar_at(data, i, header_.scalar_bytes);
  }
  return values;
}

std::vector<bool> FoamReader::flags() {
  const std::size_t size = list_size();
  if (!is_binary() || size == 0) {
    return text_list<bool>(size, [this] {
      const std::string_view word = next();
      if (word != "0" && word != "1" && word != "true" && word != "false") {
        fail(fmt::format("expected 0 or 1, found '{}'", word.substr(0, 40)));
      }
      return word == "1" || word == "true";
    });
  }
  const char* data = raw(size, 1);
  return std::vector<bool>(data, data + size);
}

std::vector<std::array<double, 3>> FoamReader::vectors() {
  const std::size_t size = list_size();
  if (!is_binary() || size == 0) {
    return text_list<std::array<double, 3>>(size, [this] {
      std::array<double, 3> value{};
      expect("(");
      for (double& component : value) {
        component = number();
      }
      expect(")");
      return value;
    });
  }
  const char* data = raw(size, 3 * static_cast<std::size_t>(header_.scalar_bytes));
  std::vector<std::array<double, 3>> values(size);
  for (std::size_t i = 0; i < size; ++i) {
    for (std::size_t c = 0; c < 3; ++c) {
      values[i][c] = scalar_at(data, 3 * i + c, header_.scalar_bytes);
    }
  }
  return values;
}

CompactList FoamReader::label_lists() {
  CompactList lists;
  if (is_binary()) {
    lists.offsets = labels();
    lists.values = labels();
  } else {
    const std::size_t size = list_size();
    lists.offsets.reserve(std::min(size, bytes_.size()) + 1);
    lists.offsets.push_back(0);
    expect("(");
    for (std::size_t i = 0; i < size; ++i) {
      const std::vector<Label> item = labels();
      lists.values.insert(lists.values.end(), item.begin(), item.end());
      lists.offsets.push_back(static_cast<Label>(lists.values.size()));
    }
    expect(")");
  }
  for (std::size_t i = 1; i < lists.offsets.size(); ++i) {
    if (lists.offsets[i] < lists.offsets[i - 1]) {
      fail("offsets of a compact list do not rise");
    }
  }
  if (!lists.offsets.empty() && static_cast<std::size_t>(lists.offsets.back()) > lists.values.size()) {
    fail("offsets of a compact list point behind its values");
  }
  return lists;
}

void FoamReader::skip_raw_list(std::string_view type) {
  const std::size_t size = list_size();
  const std::size_t bytes = element_bytes(type, header_);
  if (bytes == 0) {
    fail(fmt::format("a binary list of type '{}' is not known to this reader", type));
  }
  if (size > 0) {
    raw(size, bytes);
  }
}

void FoamReader::skip_entry() {
  int depth = 0;
  for (;;) {
    const std::string token(next());
    if (token.empty()) {
      fail("an entry has no ';': the file is cut short");
    }
    if (token == "(" || token == "{" || token == "[") {
      ++depth;
    } else if (token == ")" || token == "}" || token == "]") {
      --depth;
    } else if (token == ";" && depth == 0) {
      return;
    } else if (is_binary() && token.size() > 6 && token.compare(0, 5, "List<") == 0 && token.back() == '>') {
      skip_raw_list(token.substr(5, token.size() - 6));
    }
  }
}

void FoamReader::skip_block() {
  while (peek() != "}") {
    if (next().empty()) {
      fail("a block has no '}': the file is cut short");
    }
    if (peek() == "{") {
      next();
      skip_block();
    } else {
      skip_entry();
    }
  }
  expect("}");
}

void FoamReader::fail(std::string_view what) const {
  throw ResultError(fmt::format("{}: at byte {} of {}: {}.", path_, place_, bytes_.size(), what));
}

}  // namespace cowlwright::base
