// SPDX-License-Identifier: GPL-3.0-or-later
//
// From the lists of [vary] to the variants of a study and their names.
#include "geometry/base/study_file.h"
#include "geometry/base/study_nodes.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace cowlwright::base {

namespace {

constexpr std::size_t most_variants = 200;  // each costs minutes; more is a slip of the pen
constexpr std::size_t longest_name = 100;   // folder names may have 255 bytes; paths add up

enum class Mode { Factorial, Paired };

/// One key of [vary] with its values.
struct VariedKey {
  std::string key;
  std::vector<std::string> texts;
  Position position;
};

/// Carries the file name to the complaints.
struct Report {
  const std::string& file;
  Complaints& complaints;
  void operator()(Position position, std::string_view message) const {
    complaints.add(file, position, message);
  }
};

bool is_section_and_key(std::string_view name) {
  const std::size_t dot = name.find('.');
  return dot != std::string_view::npos && dot > 0 && dot + 1 < name.size() &&
         name.find('.', dot + 1) == std::string_view::npos;
}

/// Settings must be able to stand in tables and folder names: no sections, dates, or lists of lists.
bool can_vary(const toml::node& node) {
  if (const auto* list = node.as_array()) {
    return !list->empty() && std::all_of(list->begin(), list->end(), [](const auto& e) {
      return !e.is_array() && can_vary(e);
    });
  }
  return node.is_string() || node.is_number() || node.is_boolean();
}

/// In paired mode a value may come back: the rows must differ, not each key.
std::vector<std::string> read_texts(const std::string& key,
                                    const toml::array& list,
                                    Mode mode,
                                    const Report& report) {
  std::vector<std::string> texts;
  for (const toml::node& element : list) {
    const std::string text = node_text(element);
    if (!can_vary(element)) {
      report(position_of(element.source()),
             fmt::format("[vary] {} holds {}: each value must be written as the key itself takes it.",
                         key,
                         kind_of(element)));
    } else if (mode == Mode::Factorial && std::find(texts.begin(), texts.end(), text) != texts.end()) {
      report(position_of(element.source()),
             fmt::format("[vary] {} = \"{}\": this value stands twice in the list. Remove one.", key, text));
    } else {
      texts.push_back(text);
    }
  }
  return texts;
}

Mode read_mode(const Member& member, const Report& report) {
  const std::string text = node_text(*member.node);
  if (member.node->is_string() && text == "paired") {
    return Mode::Paired;
  }
  if (!member.node->is_string() || text != "factorial") {
    report(position_of(member.node->source()),
           fmt::format("[vary] mode = \"{}\": must be \"factorial\" (every combination) or \"paired\" (first "
                       "with first, second with second).",
                       text));
  }
  return Mode::Factorial;
}

/// Reads one key; an unusable one is complained of and has no texts.
VariedKey read_varied_key(const Member& member, Mode mode, const Report& report) {
  VariedKey varied{std::string(member.key->str()), {}, member.position};
  if (member.node->is_table()) {
    report(member.position,
           fmt::format("[vary] {0} is a section: put the whole name in quotation marks, as in \"{0}.key\" = "
                       "[\"first value\", \"second value\"].",
                       varied.key));
    return varied;
  }
  if (!is_section_and_key(varied.key)) {
    report(member.position,
           fmt::format("[vary] {}: unknown key. Name what varies as \"section.key\", in quotation marks, for "
                       "example \"exit.lip_angle\".",
                       varied.key));
    return varied;
  }
  const toml::array* list = member.node->as_array();
  if (list == nullptr || list->empty()) {
    report(position_of(member.node->source()),
           fmt::format(
               "[vary] {} = {}: must be a list with at least one value, such as [\"0 deg\", \"30 deg\"].",
               varied.key,
               list == nullptr ? node_text(*member.node) : "[]"));
    return varied;
  }
  varied.texts = read_texts(varied.key, *list, mode, report);
  return varied;
}

/// "exit.lip_angle" -> "lip_angle", or "exit_lip_angle" when another varied key ends alike.
std::string short_key(const std::string& key, const std::vector<VariedKey>& all) {
  const std::string last = key.substr(key.find('.') + 1);
  const auto n_alike = std::count_if(all.begin(), all.end(), [&](const VariedKey& other) {
    return other.key.substr(other.key.find('.') + 1) == last;
  });
  return n_alike > 1 ? key : last;
}

/// Letters, digits, '.', '-' stay (no '.' in front); "%" becomes "pct"; all else one '_'.
std::string folder_safe(std::string_view text) {
  std::string safe;
  for (const char c : text) {
    const bool stays = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                       c == '-' || (c == '.' && !safe.empty());
    if (stays) {
      safe += c;
    } else if (c == '%') {
      safe += "pct";
    } else if (!safe.empty() && safe.back() != '_') {
      safe += '_';
    }
  }
  while (!safe.empty() && safe.back() == '_') {
    safe.pop_back();
  }
  return safe;
}

/// The variant that takes value `index[k]` of key k, without a name.
Variant variant_at(const std::vector<VariedKey>& keys, const std::vector<std::size_t>& index) {
  Variant variant;
  for (std::size_t k = 0; k < keys.size(); ++k) {
    variant.settings.push_back({keys[k].key, keys[k].texts[std::min(index[k], keys[k].texts.size() - 1)]});
  }
  return variant;
}

/// Name from the settings; with a baseline only from those that differ from it.
std::string name_of(const Variant& variant, const std::vector<VariedKey>& keys, const Variant* baseline) {
  std::string name;
  for (std::size_t k = 0; k < keys.size(); ++k) {
    const std::string& text = variant.settings[k].text;
    if (baseline == nullptr || text != baseline->settings[k].text) {
      const std::string key_name = folder_safe(short_key(keys[k].key, keys));
      name += fmt::format("{}{}_{}", name.empty() ? "" : "__", key_name, folder_safe(text));
    }
  }
  return name.empty() ? "baseline" : name;
}

std::vector<Variant> combine(const std::vector<VariedKey>& keys, Mode mode) {
  std::vector<Variant> variants;
  std::vector<std::size_t> index(keys.size(), 0);
  if (mode == Mode::Paired) {
    std::size_t n_values = 0;
    for (const VariedKey& key : keys) {
      n_values = std::max(n_values, key.texts.size());
    }
    for (std::size_t i = 0; i < n_values; ++i) {
      variants.push_back(variant_at(keys, std::vector<std::size_t>(keys.size(), i)));
    }
    return variants;
  }
  bool is_done = false;
  while (!is_done) {
    variants.push_back(variant_at(keys, index));
    std::size_t k = keys.size();  // count up like an odometer: the last key turns fastest
    while (k > 0 && ++index[k - 1] == keys[k - 1].texts.size()) {
      index[--k] = 0;
    }
    is_done = k == 0;
  }
  return variants;
}

/// Names each variant from all its settings; where that grows too long, all from what they change. Two texts
/// may shorten to the same name ("+5 deg", "5 deg"); case folders may not.
void name_variants(std::vector<Variant>& variants, const std::vector<VariedKey>& keys) {
  const auto name_all = [&](const Variant* baseline) {
    for (Variant& variant : variants) {
      variant.name = name_of(variant, keys, baseline);
    }
  };
  name_all(nullptr);
  if (std::any_of(
          variants.begin(), variants.end(), [](const Variant& v) { return v.name.size() > longest_name; })) {
    name_all(&variants.front());
  }
  std::set<std::string> taken;
  for (std::size_t i = 0; i < variants.size(); ++i) {
    std::string& name = variants[i].name;
    if (name.size() > longest_name || taken.count(name) > 0) {
      name = fmt::format("{}__{}", name.substr(0, longest_name), i + 1);
    }
    taken.insert(name);
  }
}

/// The usable keys of [vary] in file order, and its mode.
struct Vary {
  Mode mode = Mode::Factorial;
  std::vector<VariedKey> keys;
};

Vary read_vary(const toml::table& table, const Report& report) {
  Vary vary;
  const std::vector<Member> members = members_in_file_order(table);
  for (const Member& member : members) {
    if (member.key->str() == "mode") {
      vary.mode = read_mode(member, report);
    }
  }
  for (const Member& member : members) {
    if (member.key->str() == "mode") {
      continue;
    }
    if (VariedKey key = read_varied_key(member, vary.mode, report); !key.texts.empty()) {
      vary.keys.push_back(std::move(key));
    }
  }
  return vary;
}

/// In paired mode, of equally long lists.
void check_rows_differ(const std::vector<Variant>& variants, Position position, const Report& report) {
  const auto is_same = [](const Setting& a, const Setting& b) { return a.text == b.text; };
  for (std::size_t i = 1; i < variants.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (std::ranges::equal(variants[i].settings, variants[j].settings, is_same)) {
        report(
            position,
            fmt::format(
                "[vary] row {} of the lists is the same as row {} in every key. Remove one.", i + 1, j + 1));
      }
    }
  }
}

void check_equal_lengths(const std::vector<VariedKey>& keys, const Report& report) {
  for (const VariedKey& key : keys) {
    if (key.texts.size() != keys.front().texts.size()) {
      report(
          key.position,
          fmt::format("[vary] {} has {} values, {} has {}: with mode = \"paired\" all lists must be equally "
                      "long. Add or remove values, or use mode = \"factorial\".",
                      key.key,
                      key.texts.size(),
                      keys.front().key,
                      keys.front().texts.size()));
    }
  }
}

bool are_too_many(const Vary& vary) {
  std::size_t n_variants = 1;
  for (const VariedKey& key : vary.keys) {
    n_variants = vary.mode == Mode::Paired ? std::max(n_variants, key.texts.size())
                                           : std::min(n_variants * key.texts.size(), 2 * most_variants);
  }
  return n_variants > most_variants;
}

}  // namespace

std::vector<Variant> StudyFile::variants(Complaints& complaints) const {
  const toml::table* table = find_section(content_->root, vary_section);
  const Report report{content_->name, complaints};
  const Vary vary = table != nullptr ? read_vary(*table, report) : Vary{};
  if (vary.keys.empty()) {
    return {{"base", {}}};
  }
  if (vary.mode == Mode::Paired) {
    check_equal_lengths(vary.keys, report);
  }
  if (are_too_many(vary)) {
    report(
        position_of(table->source()),
        fmt::format("[vary] asks for more than {} variants, the most a study may have. Shorten the lists or "
                    "use mode = \"paired\".",
                    most_variants));
    return {{"base", {}}};
  }
  std::vector<Variant> variants = combine(vary.keys, vary.mode);
  if (vary.mode == Mode::Paired) {
    check_rows_differ(variants, position_of(table->source()), report);
  }
  name_variants(variants, vary.keys);
  return variants;
}

}  // namespace cowlwright::base
