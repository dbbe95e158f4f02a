// SPDX-License-Identifier: GPL-3.0-or-later
//
// Verb `check`: every complaint about the file and the shapes, and what follows from the numbers.
#include "cases/verbs/command_line.h"
#include "cases/verbs/derived.h"
#include "cases/verbs/study_selection.h"
#include "cases/verbs/verbs.h"
#include "geometry/base/error.h"
#include "geometry/base/units.h"
#include "geometry/shape/installation.h"

#include <fmt/format.h>

#include <exception>

namespace cowlwright::verbs {
namespace {

VerbText verb_text() {
  return {.name = "check",
          .argument = "STUDY",
          .purpose =
              "Reads a study, builds and proves the shape of every variant, and prints what follows from its "
              "numbers. "
              "No solver.\nEvery fault of the file is reported in one go, with its line and column.",
          .examples =
              "  cowlwright check my-cowl.toml\n"
              "  cowlwright check my-cowl.toml --variant base\n",
          .takes_variants = true};
}

std::string proof_text(const shape::ShapeProof& proof) {
  return fmt::format(
      "Surface: {} triangles; closed, no self-intersection, bounds a volume of {:.3f} m3; smallest clearance "
      "{:.1f} mm "
      "({:.2f} in)\n",
      proof.n_triangles,
      proof.volume,
      base::in_unit(proof.smallest_clearance, "mm", base::Dimension::Length),
      base::in_unit(proof.smallest_clearance, "in", base::Dimension::Length));
}

std::string heading(const base::Variant& variant, bool is_first) {
  std::string text = fmt::format("== {}", variant.name);
  for (const base::Setting& setting : variant.settings)
    text += fmt::format("  {} = {}", setting.key, setting.text);
  return text + (is_first ? "\n" : "\nOnly what differs from the first variant:\n");
}

/// The first fault decides the exit code; all are printed.
class Faults {
 public:
  void add(const std::string& variant, const std::runtime_error& error) {
    fmt::print(stderr, "{}: {}\n", variant, error.what());
    if (!first_) first_ = std::current_exception();
  }
  void rethrow_as_one() const {
    if (!first_) return;
    try {
      std::rethrow_exception(first_);
    } catch (const base::InputError&) {
      throw base::InputError("The study has faults, see above.");
    } catch (const base::ResultError&) {
      throw base::ResultError("A check on a result failed, see above.");
    }
  }

 private:
  std::exception_ptr first_;
};

}  // namespace

int check_study(const Words& words) {
  const std::optional<Request> asked = request_or_help(verb_text(), words);
  if (!asked) return 0;
  const Request& request = *asked;
  const Study study = read_study(request.file);
  fmt::print("{}: {}\n", request.file.string(), study.title);
  if (!study.question.empty()) fmt::print("{}\n", study.question);

  Faults faults;
  std::vector<DerivedRow> baseline;
  for (const std::size_t index : selected_variants(study, request.variants)) {
    const VariantSpec& spec = study.variants[index];
    try {
      const shape::Installation installation = shape::build_installation(spec.shape);
      const std::vector<DerivedRow> rows = derived_rows(spec, installation.passages);
      const bool is_first = baseline.empty();
      fmt::print("\n{}", heading(spec.variant, is_first));
      fmt::print("{}{}",
                 derived_table(is_first ? rows : differing_rows(rows, baseline)),
                 proof_text(installation.proof));
      if (is_first) baseline = rows;
    } catch (const base::InputError& error) {
      faults.add(spec.variant.name, error);
    } catch (const base::ResultError& error) {
      faults.add(spec.variant.name, error);
    }
  }
  faults.rethrow_as_one();
  return 0;
}

}  // namespace cowlwright::verbs
