// SPDX-License-Identifier: GPL-3.0-or-later
//
// Mass, energy and momentum of a row against their limits, and that every table says so when one is broken.
#include "post/tables/writers.h"
#include "tests/unit/post/csv_text.h"
#include "tests/unit/post/sample_results.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>

namespace cowlwright::post {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::Each;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::SizeIs;
using namespace cowlwright::post::synthetic;

const BalanceCheck& balance(const VariantResult& result, const std::string& id) {
  return *std::find_if(result.balances.begin(), result.balances.end(), [&id](const BalanceCheck& check) {
    return check.id == id;
  });
}

/// A fault put into the sample, the flag it must raise, and the column of summary.csv that tells.
struct Fault {
  std::string name;
  std::function<void(base::Manifest&, RawResults&)> make;
  std::vector<std::string> words;
  std::string column;
};

// 0.90 kg/s in; cores 0.90; exit 0.90. Energy: 40 kW stated, 39.6 kg K/s * 1004.685 J/(kg K) = 39.786 kW out.
// Core law 1013 Pa of 1100 Pa.
const std::vector<Fault>& faults() {
  static const std::vector<Fault> list{
      {"LeakyMesh",  // exit 0.882: (0.90 - 0.882) / 0.90 = 2 %
       [](base::Manifest&, RawResults& raw) { raw.fluxes[6].mass_flow = 0.882; },
       {"continuity closure +2.00 %: limit 1.00 %", "the flows do not balance"},
       "continuity closure exceeded"},
      {"AirRoundTheCores",  // core_l1 0.184: 0.864 through the cores, (0.90 - 0.864) / 0.90 = 4 %
       [](base::Manifest&, RawResults& raw) { raw.fluxes[2].mass_flow = 0.184; },
       {"closure, inlets to cores +4.00 %: limit 1.00 %", "passes the cores' sides"},
       "closure, inlets to cores exceeded"},
      {"WrongExitPatch",  // exit 0.954: (0.90 - 0.954) / 0.90 = -6 %
       [](base::Manifest&, RawResults& raw) { raw.fluxes[6].mass_flow = 0.954; },
       {"closure, cores to exit -6.00 %: limit 1.00 %", "behind the cores"},
       "closure, cores to exit exceeded"},
      {"HeatLost",  // 36 kg K/s * 1004.685 = 36.169 kW of 40: 9.58 %
       [](base::Manifest&, RawResults& raw) { raw.fields.planes[6].temperature_excess_flow = 36.0; },
       {"energy closure +9.58 %: limit 2.00 %", "does not carry off the heat"},
       "energy closure exceeded"},
      {"LawNotInTheSolver",  // b = 30: 759.75 Pa of 1100: 69.07 %
       [](base::Manifest& manifest, RawResults&) {
         for (base::PassageRecord& core : manifest.passages) {
           core.inertial = 30.0;
         }
       },
       {"core law / deck difference 69.1 %: must be 80 to 105 %", "air goes round the cores"},
       "core law / deck difference exceeded"},
      {"LawAboveTheDecks",  // b = 50: 1266.25 Pa of 1100: 115.1 %
       [](base::Manifest& manifest, RawResults&) {
         for (base::PassageRecord& core : manifest.passages) {
           core.inertial = 50.0;
         }
       },
       {"core law / deck difference 115.1 %: must be 80 to 105 %", "more pressure than the decks offer"},
       "core law / deck difference exceeded"}};
  return list;
}

VariantResult with(const Fault& fault) {
  base::Manifest manifest = sample_manifest();
  RawResults raw = sample_results();
  fault.make(manifest, raw);
  for (PlaneFlux& flux : raw.fluxes) {
    flux.flip_map_flow = flux.mass_flow;
  }
  add_monitors(raw, manifest, 400);
  return evaluate(manifest, raw);
}

class BrokenBalance : public testing::TestWithParam<Fault> {};

TEST_P(BrokenBalance, IsFlaggedWithValueLimitAndMeaning) {
  const VariantResult result = with(GetParam());
  EXPECT_THAT(result.flags, Contains(AllOf(HasSubstr(GetParam().words[0]), HasSubstr(GetParam().words[1]))));
}

TEST_P(BrokenBalance, IsInTheCsv) {
  const std::string csv = summary_csv(Comparison({with(GetParam())}));
  EXPECT_EQ(csv_field(csv, 1, "flagged"), "yes");
  EXPECT_THAT(csv_field(csv, 1, "flags"), HasSubstr(GetParam().words[0]));
  EXPECT_EQ(csv_field(csv, 1, GetParam().column), "yes");
}

TEST_P(BrokenBalance, IsInTheMarkdown) {
  const std::string text = summary_markdown(Comparison({with(GetParam())}));
  EXPECT_THAT(text,
              AllOf(HasSubstr("FLAGGED, see below"), HasSubstr(GetParam().words[0]), HasSubstr("EXCEEDED")));
}

TEST_P(BrokenBalance, IsInTheJson) {
  const std::string text = results_json(Comparison({with(GetParam())}));
  EXPECT_THAT(text,
              AllOf(HasSubstr("\"is_flagged\": true"),
                    HasSubstr(GetParam().words[0]),
                    HasSubstr("\"exceeded\": true")));
}

TEST_P(BrokenBalance, IsOnTheScreen) {
  const std::string text = unwrapped(screen_table(Comparison({with(GetParam())})));
  EXPECT_THAT(text, AllOf(HasSubstr("flagged FLAGGED"), HasSubstr(GetParam().words[0])));
}

INSTANTIATE_TEST_SUITE_P(Faults, BrokenBalance, testing::ValuesIn(faults()), [](const auto& fault) {
  return fault.param.name;
});

TEST(Balances, OfASoundCaseRaiseNoFlagInAnyFormat) {
  const Comparison comparison({sample_variant("base", true)});
  EXPECT_THAT(comparison.variants[0].flags, IsEmpty());
  const std::string csv = summary_csv(comparison);
  EXPECT_EQ(csv_field(csv, 1, "flagged"), "no");
  EXPECT_EQ(csv_field(csv, 1, "energy closure exceeded"), "no");
  EXPECT_THAT(summary_markdown(comparison), Not(HasSubstr("EXCEEDED")));
  EXPECT_THAT(results_json(comparison), Not(HasSubstr("\"exceeded\": true")));
  EXPECT_THAT(screen_table(comparison), Not(HasSubstr("FLAGGED")));
}

TEST(Balances, WithoutACoreLawSayNothingOfMomentum) {
  base::Manifest manifest = sample_manifest();
  for (base::PassageRecord& core : manifest.passages) {
    core.inertial = 0.0;
  }
  const VariantResult result = evaluate(manifest, sample_results());
  EXPECT_THAT(result.balances, SizeIs(4));
  EXPECT_THAT(result.flags, Each(Not(HasSubstr("core law"))));
}

TEST(Balances, WithoutHeatSayNothingOfEnergy) {
  base::Manifest manifest = sample_manifest();
  for (base::PassageRecord& core : manifest.passages) {
    core.heat = 0.0;
  }
  const VariantResult result = evaluate(manifest, sample_results());
  EXPECT_THAT(result.flags, IsEmpty());
  EXPECT_THAT(result.balances, SizeIs(4));
}

TEST(Balances, ThatCannotBeFormedAreFlagged) {
  RawResults raw = sample_results();
  raw.fields.planes[6].temperature_excess_flow.reset();
  for (ZoneMean& zone : raw.fields.zones) {
    zone.static_pressure = 90000.0;  // no deck pressure difference: a division by zero
  }
  const VariantResult result = evaluate(sample_manifest(), raw);
  EXPECT_THAT(result.flags,
              AllOf(Contains(HasSubstr("energy closure cannot be formed: temperatures or flows")),
                    Contains(HasSubstr("core law / deck difference cannot be formed"))));
  EXPECT_FALSE(balance(result, "energy_closure").value.has_value());
}

// Energy tolerance 0.6 % of the manifest instead of 2 %: 0.536 % passes, 0.5 % does not.
TEST(Balances, TakeTheEnergyToleranceFromTheManifest) {
  base::Manifest manifest = sample_manifest();
  manifest.energy_tolerance = 0.006;
  EXPECT_THAT(evaluate(manifest, sample_results()).flags, IsEmpty());
  manifest.energy_tolerance = 0.005;
  EXPECT_THAT(evaluate(manifest, sample_results()).flags, Contains(HasSubstr("limit 0.50 %")));
}

}  // namespace
}  // namespace cowlwright::post
