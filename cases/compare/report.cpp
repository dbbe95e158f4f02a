// SPDX-License-Identifier: GPL-3.0-or-later
#include "cases/compare/report.h"

#include "cases/compare/checklist.h"
#include "cases/compare/keys.h"
#include "cases/compare/wording.h"
#include "geometry/base/markup.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace cowlwright::compare {
namespace {

constexpr std::size_t most_sentences = 8;

/// Cells of a Markdown table hold no bars.
std::string cell(std::string text) {
  std::replace(text.begin(), text.end(), '|', '/');
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

std::string heading(const Report& report) {
  return fmt::format(
      "{} against {}\n\n{}\n", report.mine_name, report.good_name, condition_sentence(report.comparison));
}

/// "Deck pressure difference: 812 Pa (3.26 inH2O) instead of 1120 Pa: -308 Pa ± 90 Pa."
std::vector<std::string> total_sentences(const Comparison& c) {
  std::vector<std::string> sentences;
  for (std::size_t q = 0; q < c.quantities.size(); ++q) {
    const double change = c.mine[q] - c.good[q];
    const std::string verdict = std::abs(change) > c.band[q] ? "" : "; within its band, so none is shown";
    sentences.push_back(fmt::format("{}: {} instead of {}, {} ± {}{}.",
                                    c.quantities[q].name,
                                    value_text(c.quantities[q], c.mine[q]),
                                    value_text(c.quantities[q], c.good[q]),
                                    change_text(c.quantities[q], change),
                                    width_text(c.quantities[q], c.band[q]),
                                    verdict));
  }
  return sentences;
}

bool is_the_same(const Comparison& c) {
  return c.details.empty();
}

std::vector<std::string> detail_sentences(const Comparison& c) {
  std::vector<std::string> sentences;
  for (const Effect& effect : c.effects) {
    if (sentences.size() == most_sentences) break;
    sentences.push_back(effect_sentence(c, effect, 0));
  }
  return sentences;
}

std::string bullets(const std::vector<std::string>& lines, bool is_numbered = false) {
  std::string text;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    text += (is_numbered ? fmt::format("{}. ", i + 1) : "- ") + lines[i] + "\n";
  }
  return text;
}

std::string effects_table(const Comparison& c) {
  std::string text = "| detail | yours | the good one's |";
  std::string rule = "|---|---|---|";
  for (const Quantity& of : c.quantities) {
    text += fmt::format(" {} |", of.name);
    rule += "---:|";
  }
  text += "\n" + rule + "\n";
  for (const Effect& effect : c.effects) {
    text += fmt::format("| {} | {} | {} |", cell(effect.label), cell(effect.mine), cell(effect.good));
    for (std::size_t q = 0; q < c.quantities.size(); ++q) {
      const std::string change = fmt::format("{} ± {}",
                                             change_text(c.quantities[q], effect.value[q]),
                                             width_text(c.quantities[q], effect.band[q]));
      text += fmt::format(" {} |", effect.stands_out(q) ? change : fmt::format("({})", change));
    }
    text += "\n";
  }
  text += "| **all** | | |";
  for (std::size_t q = 0; q < c.quantities.size(); ++q) {
    text += fmt::format(" **{} ± {}** |",
                        change_text(c.quantities[q], c.mine[q] - c.good[q]),
                        width_text(c.quantities[q], c.band[q]));
  }
  return text + "\n\nIn parentheses: less than its band, so it may be nothing.\n";
}

std::string keys_table(const Report& report) {
  std::string text = "| key | yours | the good one's |\n|---|---|---|\n";
  const auto value = [](const Key& key, const VariantSpec& spec, const IsStated& is_stated) {
    if (!key.applies(spec)) return std::string("does not apply");
    const std::string both = Texts{key.si(spec), key.practical(spec)}.both();
    return is_stated && !is_stated(key) ? both + ", by default" : both;
  };
  for (const Detail& detail : report.comparison.details) {
    for (const Key& key : detail.keys) {
      const bool applies = key.applies(*report.good) || key.applies(*report.mine);
      if (!applies || !key.differs(*report.good, *report.mine)) continue;
      text += fmt::format("| `{}` | {} | {} |\n",
                          key.name,
                          cell(value(key, *report.mine, report.is_stated_in_mine)),
                          cell(value(key, *report.good, report.is_stated_in_good)));
    }
  }
  return text;
}

std::string assumption_text(const Assumption& one) {
  if (one.source.empty()) return "not there";
  return fmt::format("{:.3g} ± {:.2g} ({})", one.value, one.half_band, one.source);
}

std::string assumptions_table(const Comparison& c) {
  std::string rows;
  for (const Effect& effect : c.effects) {
    for (const ChangedAssumption& changed : effect.stands_on) {
      const std::string& name = changed.good.name.empty() ? changed.mine.name : changed.good.name;
      rows += fmt::format("| {} | {} | {} | {} |\n",
                          cell(effect.label),
                          cell(name),
                          cell(assumption_text(changed.mine)),
                          cell(assumption_text(changed.good)));
    }
  }
  if (rows.empty()) return "None of the details changes a coefficient; they change sizes and places.\n";
  return "| detail | coefficient | yours | the good one's |\n|---|---|---|---|\n" + rows;
}

std::string not_in_model_text(const Report& report) {
  std::vector<std::string> lines;
  for (const std::size_t i : report.comparison.not_in_model) {
    const Detail& detail = report.comparison.details[i];
    const Wordings words = wordings(detail, *report.good, *report.mine);
    lines.push_back(fmt::format("{}: {} instead of {}", detail.label, words.mine, words.good));
  }
  if (lines.empty()) return "Every detail that differs is felt by the estimate.\n";
  return "The estimate does not feel these; a solved case may, and so may the engine:\n\n" + bullets(lines);
}

std::string candidates_text(const Report& report) {
  const Comparison& c = report.comparison;
  std::vector<std::string> lines;
  for (const Candidate& candidate : report.candidates) {
    const Effect& effect = c.effects[candidate.effect];
    lines.push_back(fmt::format("{}, {}: {}.",
                                effect.label,
                                change_text(c.quantities.front(), effect.value.front()),
                                candidate.reason));
  }
  if (lines.empty())
    return "None of the details both moves enough and is unsure enough to ask for a solved case.\n";
  std::string text = bullets(lines) + "\n";
  if (report.next_file.empty()) {
    text += "No study file could be made of them:\n\n";
  } else {
    text += fmt::format(
        "`{}` has yours as baseline, then each of them put back to what the good one has{}. "
        "`cowlwright run {}` solves it.\n\n",
        report.next_file,
        report.next.effects.size() > 1 ? ", last all of them" : "",
        report.next_file);
    text += bullets(report.next_check);
  }
  return text + bullets(report.next.left_out);
}

std::string checklist_text() {
  std::string text =
      "What makes one engine hot and another not is often in no study file. Go through this on both aircraft "
      "(common practice, no source):\n\n";
  for (const ChecklistEntry& entry : checklist())
    text += fmt::format("- [ ] **{}.** {}\n", entry.subject, entry.question);
  return text;
}

}  // namespace

std::string short_text(const Report& report) {
  const Comparison& c = report.comparison;
  std::string text = heading(report) + "\n";
  if (is_the_same(c)) {
    text += "No difference: the two studies describe the same installation.\n";
  } else {
    text += bullets(total_sentences(c)) + bullets(c.notes) + "\n" + bullets(detail_sentences(c), true);
    const std::size_t n_more = c.effects.size() - std::min(c.effects.size(), most_sentences);
    if (n_more > 0) text += fmt::format("   and {} smaller ones, see compare.md\n", n_more);
    if (!c.not_in_model.empty()) {
      const std::size_t n = c.not_in_model.size();
      text += fmt::format("\n{} that the estimate does not feel, see compare.md.\n",
                          n == 1 ? "One more detail differs" : fmt::format("{} more details differ", n));
    }
    if (!report.next_file.empty()) text += fmt::format("\nWorth a CFD run: {}\n", report.next_file);
  }
  return text + "\n" + cautions() + "\n";
}

std::string markdown(const Report& report) {
  const Comparison& c = report.comparison;
  std::string text = "# What differs?\n\n" + heading(report) + "\n> " + cautions() + "\n\n";
  if (is_the_same(c)) {
    text +=
        "**No difference:** the two studies describe the same installation. If one runs hot and the other "
        "does not, the cause is in what no study file holds, or the studies are not what flies.\n\n";
  } else {
    text += bullets(total_sentences(c)) + "\n## What brings it\n\n" + bullets(detail_sentences(c), true) +
            "\n![Steps from the good installation to yours](compare.svg)\n\n" + effects_table(c) +
            "\n## Worth a CFD run\n\n" + candidates_text(report) + "\n## Not in the model\n\n" +
            not_in_model_text(report) + "\n## Every key that differs\n\n" + keys_table(report) +
            "\n## What the details stand on\n\n" + assumptions_table(c) + "\n## How it was shared out\n\n" +
            bullets(method_sentences(c)) + "\n";
  }
  return text + "## What no study file holds\n\n" + checklist_text();
}

namespace {

std::string in_unit_text(const Quantity& of, double value) {
  return std::isfinite(value) ? fmt::format("{:.6g}", base::in_unit(value, of.unit, of.change_dimension))
                              : "";
}

}  // namespace

std::string topic_word(Topic topic) {
  switch (topic) {
    case Topic::Condition:
      return "flight condition";
    case Topic::Power:
      return "power";
    case Topic::Installation:
      return "installation";
    case Topic::Estimate:
      return "estimate";
    case Topic::Solver:
      break;
  }
  return "solver";
}

std::string csv(const Report& report) {
  const Comparison& c = report.comparison;
  std::string text = "detail,belongs to,yours,the good one's,in the model";
  for (const Quantity& of : c.quantities) {
    text += fmt::format(
        ",change of {0} [{1}],band [{1}],sampling error [{1}],share of its kind [%],more than its band",
        of.name,
        of.unit);
  }
  text += "\n";
  for (const Effect& effect : c.effects) {
    text += fmt::format("{},{},{},{},yes",
                        base::csv_quoted(effect.label),
                        topic_word(effect.topic),
                        base::csv_quoted(effect.mine),
                        base::csv_quoted(effect.good));
    for (std::size_t q = 0; q < c.quantities.size(); ++q) {
      const Quantity& of = c.quantities[q];
      text += fmt::format(",{},{},{},{:.4g},{}",
                          in_unit_text(of, effect.value[q]),
                          in_unit_text(of, effect.band[q]),
                          in_unit_text(of, effect.standard_error[q]),
                          100.0 * share_of_its_kind(c, effect, q),
                          effect.stands_out(q) ? "yes" : "no");
    }
    text += "\n";
  }
  for (const std::size_t i : c.not_in_model) {
    const Detail& detail = c.details[i];
    const Wordings words = wordings(detail, *report.good, *report.mine);
    text += fmt::format("{},{},{},{},no",
                        base::csv_quoted(detail.label),
                        topic_word(detail.topic),
                        base::csv_quoted(words.mine),
                        base::csv_quoted(words.good));
    for (std::size_t q = 0; q < c.quantities.size(); ++q) text += ",,,,,";
    text += "\n";
  }
  return text;
}

}  // namespace cowlwright::compare
