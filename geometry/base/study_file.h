// SPDX-License-Identifier: GPL-3.0-or-later
//
// A study file: TOML text with one section per part of the installation and a [vary] section that turns it
// into several variants. This header knows syntax, positions, units and ranges; what a section means is known
// by the folder that reads it into its own spec.
#pragma once

#include "geometry/base/units.h"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace cowlwright::base {

/// Bounds of an accepted value, both inclusive unless marked open. SI.
struct Range {
  double low = -1e300;
  double high = 1e300;
  bool low_is_open = false;
  bool high_is_open = false;
  std::string_view reason{};  ///< why the bounds stand where they do; shown to the user in brackets
};

/// One key that a variant sets, as written: {"exit.lip_angle", "30 deg"}.
struct Setting {
  std::string key;
  std::string text;
};

/// One member of a study: the base file with some keys replaced by values of [vary].
struct Variant {
  std::string name;  ///< safe as a folder name, e.g. "lip_angle_30_deg"; "base" when nothing varies
  std::vector<Setting> settings;  ///< empty when nothing varies
};

/// A place in a text file, both counted from 1.
struct Position {
  std::uint32_t line = 1;
  std::uint32_t column = 1;
};

/// All complaints about one study file, gathered so that the user sees every error in one go.
class Complaints {
 public:
  /// Adds "file:line:column: message", on one line. Repeats of the same place and text are kept once.
  void add(std::string_view file, Position position, std::string_view message);
  bool empty() const { return entries_.empty(); }
  /// All messages in file order.
  std::vector<std::string> messages() const;
  /// @throws InputError  with all messages, one per line in file order, when there are any.
  void throw_if_any() const;

 private:
  struct Entry {
    Position position;
    std::string text;
  };
  std::vector<Entry> entries_;  ///< in file order; in order of arrival where two share a place
};

class SectionReader;

/// A parsed study file.
class StudyFile {
 public:
  /// @throws InputError  when the file cannot be read or is not TOML ("file:line:column: ...").
  static StudyFile read(const std::filesystem::path& path);
  /// The same from text; `name` stands for the file in messages.
  static StudyFile parse(std::string_view text, std::string name);

  StudyFile(StudyFile&&) noexcept;
  StudyFile& operator=(StudyFile&&) noexcept;
  ~StudyFile();

  const std::string& name() const;  ///< as given to read() or parse()
  const std::string& text() const;  ///< the whole file, for hashes and provenance

  /// Variants of [vary]: full factorial in file order (last key fastest), or `mode = "paired"`; the first is
  /// the baseline. Never empty. Complains of keys that are not "section.key", empty lists, unequal lengths in
  /// paired mode, values given twice. Whether a target key exists is found by check_section_names() and by
  /// the section's reader.
  std::vector<Variant> variants(Complaints& complaints) const;

  /// Complains of sections that nobody knows (with the nearest known name), also as targets of [vary], and of
  /// known names that are not sections. `vary` itself is always known.
  void check_section_names(std::span<const std::string_view> known, Complaints& complaints) const;

  /// Every value as one variant sees it, but for [study], [vary] and the keys in `left_out`: a line
  /// "section.key = value" each, by name. Equal texts mean equal variants, whatever comments, order, names or
  /// other variants the file has.
  std::string values_text(const Variant& variant, std::span<const std::string_view> left_out) const;

  /// Reader of one section as seen by one variant. A missing section reads as an empty one.
  SectionReader section(std::string_view name, const Variant& variant, Complaints& complaints) const;

 private:
  friend class SectionReader;
  struct Content;
  explicit StudyFile(std::unique_ptr<Content> content);
  std::unique_ptr<Content> content_;
};

/// Reads keys of one section. A bad value adds a complaint and returns a harmless value inside the range, so
/// that reading goes on and every fault is found. Keys asked for are the known keys; finish() complains of
/// all others.
///
/// Complaints point at the value, or at the element of a [vary] list that the variant puts in its place. The
/// file, the variant and the complaints must outlive the reader.
class SectionReader {
 public:
  SectionReader(const StudyFile& file, std::string section, const Variant& variant, Complaints& complaints);

  double quantity(std::string_view key, Dimension dimension, Range range);
  double quantity_or(std::string_view key, Dimension dimension, Range range, double fallback);
  std::optional<double> optional_quantity(std::string_view key, Dimension dimension, Range range);
  /// A list of quantities, one unit each: ["0.05 kg/s", "0.10 kg/s"]; a single text counts as a list of one.
  /// Empty when the key is absent.
  std::vector<double> quantities(std::string_view key, Dimension dimension, Range range);

  /// The same with holes: the text "none" stands for a value that there is not.
  std::vector<std::optional<double>> optional_quantities(std::string_view key,
                                                         Dimension dimension,
                                                         Range range);
  /// A list of texts that must be among `choices`; their indices. Empty when the key is absent.
  std::vector<std::size_t> choices(std::string_view key, std::span<const std::string_view> choices);
  /// A list of texts; a single text counts as a list of one. Empty when the key is absent.
  std::vector<std::string> texts(std::string_view key);

  /// Plain TOML numbers: counts and pure exponents.
  std::int64_t integer(std::string_view key, std::int64_t low, std::int64_t high);
  std::int64_t integer_or(std::string_view key, std::int64_t low, std::int64_t high, std::int64_t fallback);
  double number_or(std::string_view key, Range range, double fallback);
  /// A list of plain numbers. Empty when the key is absent.
  std::vector<double> numbers(std::string_view key, Range range);

  /// Text that must be one of `choices`; returns its index.
  std::size_t choice(std::string_view key, std::span<const std::string_view> choices);
  std::size_t choice_or(std::string_view key,
                        std::span<const std::string_view> choices,
                        std::size_t fallback);
  std::string text_or(std::string_view key, std::string_view fallback);
  /// Plain TOML true or false.
  bool boolean_or(std::string_view key, bool fallback);

  bool has(std::string_view key) const;
  /// Whether the file has the section, or the variant sets one of its keys.
  bool section_present() const;

  /// Complaints this reader has made so far, repeats included: rules between values are only worth checking
  /// when every value was sound.
  std::size_t n_complaints() const { return n_complaints_; }

  /// A rule between keys is broken: "[section] key message", placed at `key` (at the section's head when the
  /// key is absent or empty).
  void complain(std::string_view key, std::string_view message);

  /// Complains of every key in the section that was never asked for, with the nearest known key.
  void finish();

 private:
  struct Node;  ///< a value and where it stands
  Node find(std::string_view key) const;
  Node ask(std::string_view key);
  Position head() const;
  std::vector<Node> elements(std::string_view key, const Node& node);
  double checked_quantity(std::string_view key, const Node& node, Dimension dimension, const Range& range);
  double checked_number(std::string_view key, const Node& node, const Range& range);
  std::int64_t checked_integer(std::string_view key, const Node& node, std::int64_t low, std::int64_t high);
  std::size_t checked_choice(std::string_view key,
                             const Node& node,
                             std::span<const std::string_view> choices);
  void complain_missing(std::string_view key, std::string_view how_to_write);
  void complain_at(Position position, std::string_view message);

  const StudyFile* file_;
  std::string section_;
  const Variant* variant_;
  Complaints* complaints_;
  std::vector<std::string> asked_;
  std::size_t n_complaints_ = 0;
};

}  // namespace cowlwright::base
