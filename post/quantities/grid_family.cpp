// SPDX-License-Identifier: GPL-3.0-or-later
//
// Groups grids and judges their quantities.
#include "post/quantities/grid_family.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace cowlwright::post {

namespace {

using Family = std::vector<VariantResult>;

bool same_settings(const base::Manifest& a, const base::Manifest& b) {
  return std::equal(
      a.settings.begin(),
      a.settings.end(),
      b.settings.begin(),
      b.settings.end(),
      [](const base::Setting& x, const base::Setting& y) { return x.key == y.key && x.text == y.text; });
}

bool are_kin(const base::Manifest& a, const base::Manifest& b) {
  return a.study_hash == b.study_hash && a.variant == b.variant && same_settings(a, b);
}

std::vector<Family> families_of(std::vector<VariantResult> results) {
  std::vector<Family> families;
  for (VariantResult& result : results) {
    const auto kin = std::find_if(families.begin(), families.end(), [&](const Family& family) {
      return are_kin(family.front().manifest, result.manifest);
    });
    (kin == families.end() ? families.emplace_back() : *kin).push_back(std::move(result));
  }
  return families;
}

/// All levels and cell sizes unlike, all sizes known.
bool is_ladder(const Family& family) {
  for (std::size_t i = 0; i < family.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const base::Manifest& a = family[i].manifest;
      const base::Manifest& b = family[j].manifest;
      if (a.grid_level == b.grid_level || !(a.cell_size > 0.0) || !(b.cell_size > 0.0) ||
          !(a.cell_size < b.cell_size || b.cell_size < a.cell_size)) {
        return false;
      }
    }
  }
  return true;
}

std::string trouble_of(const VariantResult& result) {
  const bool leaks = !result.balances.empty() && result.balances.front().is_exceeded();
  return result.has_failed()                             ? "failed"
         : result.judgement.status == Status::NotSettled ? "not settled"
         : leaks                                         ? "does not close its mass balance"
                                                         : "";
}

GridMember member_of(const VariantResult& result) {
  return {.level = result.manifest.grid_level,
          .folder = std::filesystem::weakly_canonical(result.case_dir).filename().string(),
          .cell_size = result.manifest.cell_size,
          .n_cells = result.n_cells,
          .status = result.judgement.status,
          .reason = result.judgement.reason,
          .trouble = trouble_of(result)};
}

GridValue value_on(const VariantResult& result, const GridMember& member, const std::string& id) {
  GridValue value{.grid = member.level,
                  .cell_size = member.cell_size,
                  .value = std::nullopt,
                  .half_band = std::nullopt,
                  .rounding = 0.0,
                  .trouble = member.trouble};
  if (const Quantity* quantity = result.find(id)) {
    value.value = quantity->value;
    value.half_band = quantity->half_band;
    value.rounding = rounding_share * std::abs(quantity->value);
  }
  return value;
}

/// Position of the grid whose values are published.
std::size_t published_grid(const std::vector<GridMember>& members) {
  const auto first = [&members](auto property) {
    return static_cast<std::size_t>(std::find_if(members.begin(), members.end(), property) - members.begin());
  };
  const std::size_t sound = first([](const GridMember& member) { return member.trouble.empty(); });
  const std::size_t any = first([](const GridMember& member) { return member.status != Status::Failed; });
  return sound < members.size() ? sound : any < members.size() ? any : 0;
}

/// Inputs, closures (each grid is held to its own) and y+ (which is the grid's) do not converge to anything.
bool converges(const Quantity& quantity) {
  const bool is_closure = quantity.id.ends_with("_closure") || quantity.id.starts_with("heat_closure_");
  return quantity.basis != Basis::Fixed && !is_closure && !quantity.id.starts_with("y_plus");
}

void judge_quantities(const Family& family, const std::vector<GridMember>& members, VariantResult& result) {
  for (Quantity& quantity : result.quantities) {
    if (!converges(quantity)) {
      continue;
    }
    std::vector<GridValue> values;
    for (std::size_t i = 0; i < family.size(); ++i) {
      values.push_back(value_on(family[i], members[i], quantity.id));
    }
    quantity.grids = judge_grids(std::move(values), result.manifest.n_grids, quantity.unit);
  }
}

/// What every row of this family says of its grids.
std::string family_statement(const VariantResult& result) {
  std::vector<GridValue> grids;
  std::vector<std::string> levels;
  for (const GridMember& member : result.grids) {
    grids.push_back({member.level, member.cell_size, std::nullopt, std::nullopt, 0.0, member.trouble});
    if (member.trouble.empty()) {
      levels.push_back(member.level);
    }
  }
  const std::string objection = family_objection(grids, result.manifest.n_grids);
  return objection.empty() ? fmt::format("{} grids ({}): each quantity with its own band and order",
                                         levels.size(),
                                         fmt::join(levels, ", "))
                           : objection;
}

void note_grids(const Family& family, std::size_t published, VariantResult& result) {
  for (std::size_t i = 0; i < family.size(); ++i) {
    const GridMember& member = result.grids[i];
    if (i == published) {
      continue;
    }
    if (!member.trouble.empty()) {
      std::string text = fmt::format("{} grid left out, {}: {}", member.level, member.trouble, member.reason);
      if (i < published) {
        result.flags.push_back(
            fmt::format("{}; values are of the {} grid", text, result.grids[published].level));
      } else {
        result.notes.push_back(std::move(text));
      }
    }
    for (const std::string& flag : family[i].flags) {
      result.notes.push_back(fmt::format("{} grid: {}", member.level, flag));
    }
  }
  if (!result.grids[published].trouble.empty() && family.size() > 1 && !result.has_failed()) {
    result.flags.push_back(
        fmt::format("no grid is usable for a comparison; values are of the {} grid, which {}",
                    result.grids[published].level,
                    result.grids[published].trouble));
  }
}

/// Names what the grids flag, by behaviour.
void note_flagged(VariantResult& result) {
  std::map<std::string_view, std::vector<std::string>> names;
  for (const Quantity& quantity : result.quantities) {
    if (!quantity.grids || !quantity.grids->is_flagged()) {
      continue;
    }
    std::vector<std::string>& alike = names[quantity.grids->behaviour()];
    if (alike.empty() || alike.back() != quantity.name) {  // one quantity in two units is named once
      alike.push_back(quantity.name);
    }
  }
  for (const auto& [behaviour, quantities] : names) {
    result.notes.push_back(fmt::format(
        "flagged for their behaviour over the grids, {}: {}", behaviour, fmt::join(quantities, "; ")));
  }
}

VariantResult merged(Family family) {
  std::stable_sort(family.begin(), family.end(), [](const VariantResult& a, const VariantResult& b) {
    return a.manifest.cell_size < b.manifest.cell_size;
  });
  std::vector<GridMember> members;
  std::transform(family.begin(), family.end(), std::back_inserter(members), member_of);
  const std::size_t published = published_grid(members);
  VariantResult result = family[published];
  result.grids = members;
  if (family.size() > 1 && !result.has_failed()) {
    judge_quantities(family, members, result);
  }
  result.discretisation = family_statement(result);
  note_grids(family, published, result);
  note_flagged(result);
  return result;
}

}  // namespace

std::vector<VariantResult> group_grids(std::vector<VariantResult> results) {
  std::vector<VariantResult> grouped;
  for (Family& family : families_of(std::move(results))) {
    if (is_ladder(family)) {
      grouped.push_back(merged(std::move(family)));
      continue;
    }
    for (VariantResult& result : family) {
      result.notes.emplace_back(
          "several cases of this variant on one grid level, or of unknown cell size: not compared as grids");
      grouped.push_back(std::move(result));
    }
  }
  return grouped;
}

}  // namespace cowlwright::post
