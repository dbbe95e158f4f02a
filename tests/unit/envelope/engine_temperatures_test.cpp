// SPDX-License-Identifier: GPL-3.0-or-later
//
// What is shown of an engine's temperatures, what is not and why.
#include "cases/envelope/engine_temperatures.h"

#include "geometry/base/error.h"
#include "tests/unit/envelope/studies.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace {

using namespace cowlwright;
using namespace cowlwright::envelope;
using namespace cowlwright::testing_support;
using temperature::index;
using testing::Contains;
using testing::HasSubstr;
using testing::IsEmpty;

Temperatures at_study(const VariantSpec& spec) {
  const DisturbedModel model = disturbed(spec);
  const network::Condition condition = network::stated_condition(spec);
  return EngineTemperatures(model).at(model.model(), model.solve(condition, network::Route::Solved));
}

TEST(EngineTemperatures, GiveBackEveryReadingAtTheReading) {
  const VariantSpec spec = six_cylinders_gliding();
  const Temperatures t = at_study(spec);
  const SiteTemperatures& plug = t.sites[index(Site::UnderPlug)];
  ASSERT_EQ(plug.cylinders.size(), 6u);
  for (std::size_t i = 0; i < 6; ++i) {
    ASSERT_TRUE(spec.readings[0].under_plug[i].has_value());
    EXPECT_NEAR(*plug.cylinders[i].value, spec.readings[0].under_plug[i]->value, 1e-6) << i;
  }
  EXPECT_THAT(t.extrapolated, IsEmpty());
}

TEST(EngineTemperatures, SayWhyASiteIsNotShown) {
  const Temperatures t = at_study(six_cylinders_gliding());
  EXPECT_FALSE(t.sites[index(Site::Barrel)].is_shown());
  EXPECT_THAT(t.sites[index(Site::Barrel)].missing, HasSubstr("no reading and no [limits] barrel"));
  EXPECT_FALSE(t.sites[index(Site::UnderPlug)].smallest_margin().has_value());  // no limit, no margin
  EXPECT_THAT(t.oil.missing_hot, HasSubstr("no [oil_cooler]"));
}

TEST(EngineTemperatures, WithoutReadingsThereIsABandOnlyWithTheMakersPoint) {
  const VariantSpec bare = without_readings(six_cylinders_gliding());
  EXPECT_THAT(at_study(bare).sites[0].missing, HasSubstr("no [temperatures] rated_power"));
  const VariantSpec rated = without_readings(
      six_cylinders_gliding({{"[limits]", "[temperatures]\nrated_power = \"125 hp\"\n[limits]"}}));
  const Temperatures t = at_study(rated);
  ASSERT_TRUE(t.sites[0].is_shown());
  for (const Estimate& estimate : t.sites[0].cylinders) {
    EXPECT_FALSE(estimate.value.has_value());
    EXPECT_LT(estimate.low, estimate.high);
  }
  EXPECT_FALSE(t.sites[0].smallest_margin()->value.has_value());
}

TEST(EngineTemperatures, WithoutFuelSayThatTheChargeIsNotKnown) {
  VariantSpec spec = six_cylinders_gliding({{"fuel_flow = \"8.1 gal/h\"", ""}});
  spec.readings[0].fuel_flow.reset();
  EXPECT_THAT(at_study(spec).sites[0].missing, HasSubstr("the charge is not known"));
}

TEST(EngineTemperatures, TakeTheFuelOfTheReadingsInProportionWhereNoneIsStated) {
  const VariantSpec spec = six_cylinders_gliding({{"fuel_flow = \"8.1 gal/h\"", ""}});
  const Temperatures t = at_study(spec);
  EXPECT_NEAR(*t.fuel_flow, *spec.readings[0].fuel_flow, 1e-12);
}

TEST(EngineTemperatures, SayWhatIsExtrapolatedAndHowFar) {
  const VariantSpec spec = six_cylinders_gliding();
  const DisturbedModel model = disturbed(spec);
  network::Condition condition = network::stated_condition(spec);
  condition.shaft_power *= 1.2;
  const Temperatures t =
      EngineTemperatures(model).at(model.model(), model.solve(condition, network::Route::Solved));
  EXPECT_THAT(t.extrapolated, Contains(HasSubstr("power 20 % above the readings' 82.03 kW")));
}

TEST(EngineTemperatures, NameTheReadingThatTheCorrelationCannotHold) {
  const VariantSpec spec = six_cylinders_gliding({{"\"274 degF\"", "\"60 degF\""}});
  EXPECT_THAT([&] { EngineTemperatures{disturbed(spec)}; },
              testing::ThrowsMessage<base::InputError>(HasSubstr("[reading_1] head_bottom: 15.56 degC")));
}

TEST(EngineTemperatures, PrintEveryConstantWithItsSource) {
  const std::vector<std::string> lines = EngineTemperatures(disturbed(six_cylinders_gliding())).assumptions();
  EXPECT_THAT(lines, Contains(HasSubstr("NACA TR 612")));
  EXPECT_THAT(lines, Contains(HasSubstr("n 0.6 ± 0.1")));
  EXPECT_THAT(lines, Contains(HasSubstr("m 0.33 ± 0.05")));
  EXPECT_THAT(lines, Contains(HasSubstr("head, under the plug: K = ")));
  EXPECT_THAT(lines, Contains(HasSubstr("fuel-air ratio 0.08 (assumed")));
}

TEST(CoolingPressure, IsTheLawsOwnAtSeaLevelDensity) {
  network::PassageCoefficients passage;
  passage.area = 0.02;
  passage.viscous = 0.0;
  passage.inertial = 2.0;
  // b m² / (A² rho_0) = 2 * 36 / 1.225
  EXPECT_NEAR(cooling_pressure(passage, 0.12, 288.15), 2.0 * 36.0 / 1.225, 1e-9);
}

TEST(Margin, IsLimitLessTemperatureWithItsEndsTurned) {
  const Margin m = margin(500.0, {480.0, 470.0, 495.0});
  EXPECT_EQ(*m.value, 20.0);
  EXPECT_EQ(m.low, 5.0);
  EXPECT_EQ(m.high, 30.0);
}

}  // namespace
