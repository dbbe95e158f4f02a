// SPDX-License-Identifier: GPL-3.0-or-later
//
// Reads the variants' settings side by side.
#include "post/tables/varied.h"

#include <algorithm>
#include <charconv>
#include <utility>

namespace cowlwright::post {

namespace {

std::string label_of(std::string key) {
  std::replace_if(
      key.begin(), key.end(), [](char c) { return c == '.' || c == '_'; }, ' ');
  return key;
}

std::string text_in(const VariantResult& variant, const std::string& key) {
  const auto& settings = variant.manifest.settings;
  const auto found = std::find_if(
      settings.begin(), settings.end(), [&key](const base::Setting& setting) { return setting.key == key; });
  return found == settings.end() ? std::string() : found->text;
}

/// "30 deg" -> 30 and "deg"; nothing when the text does not start with a number.
std::optional<std::pair<double, std::string>> number_and_unit(const std::string& text) {
  double number = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc()) {
    return std::nullopt;
  }
  const std::size_t start = text.find_first_not_of(' ', static_cast<std::size_t>(end - text.data()));
  return std::pair(number, start == std::string::npos ? std::string() : text.substr(start));
}

void add_numbers(VariedKey& key) {
  std::vector<double> numbers;
  for (const std::string& text : key.texts) {
    const auto parts = number_and_unit(text);
    if (!parts || (!numbers.empty() && parts->second != key.unit)) {
      key.unit.clear();
      return;
    }
    key.unit = parts->second;
    numbers.push_back(parts->first);
  }
  key.numbers = std::move(numbers);
}

}  // namespace

std::vector<VariedKey> varied_keys(std::span<const VariantResult> variants) {
  std::vector<VariedKey> keys;
  for (const VariantResult& variant : variants) {
    for (const base::Setting& setting : variant.manifest.settings) {
      const bool is_known = std::any_of(
          keys.begin(), keys.end(), [&setting](const VariedKey& key) { return key.key == setting.key; });
      if (is_known) {
        continue;
      }
      VariedKey key{setting.key, label_of(setting.key), {}, {}, std::nullopt};
      for (const VariantResult& other : variants) {
        key.texts.push_back(text_in(other, setting.key));
      }
      const bool differs = std::any_of(key.texts.begin(), key.texts.end(), [&key](const std::string& t) {
        return t != key.texts.front();
      });
      if (differs) {
        add_numbers(key);
        keys.push_back(std::move(key));
      }
    }
  }
  return keys;
}

}  // namespace cowlwright::post
