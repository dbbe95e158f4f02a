// SPDX-License-Identifier: GPL-3.0-or-later
//
// Temperatures of an engine in its installation: the network's flows, the correlation and what readings of
// flight say, with margins to the limits.
#pragma once

#include "cases/envelope/disturbed_model.h"
#include "cases/temperature/correlation.h"
#include "cases/temperature/oil.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace cowlwright::envelope {

using temperature::Estimate;
using temperature::Site;

/// Limit less temperature [K]; `low` is at the hot end of the temperature's band.
struct Margin {
  std::optional<double> value;
  double low = 0.0;
  double high = 0.0;
};
Margin margin(double limit, const Estimate& estimate);

/// One site of all cylinders.
struct SiteTemperatures {
  Site site = Site::HeadBottom;
  std::vector<Estimate> cylinders;  ///< order of core::cylinder_names(); empty: nothing is shown
  std::string missing;              ///< why nothing is shown
  std::optional<double> limit;      ///< [K]

  bool is_shown() const { return !cylinders.empty(); }
  /// The hottest by value, or by the band's hot end.
  std::size_t hottest() const;
  std::optional<Margin> smallest_margin() const;
};

struct OilTemperatures {
  std::optional<Estimate> hot;     ///< before the cooler
  std::optional<Estimate> cooled;  ///< behind it
  std::string missing_hot, missing_cooled;
  std::optional<double> limit;

  std::optional<Margin> margin() const;
};

/// All temperatures at one condition.
struct Temperatures {
  std::array<SiteTemperatures, temperature::n_sites> sites;
  OilTemperatures oil;
  std::optional<double> fuel_flow;        ///< [kg/s]
  double charge_flow = 0.0;               ///< of one cylinder [kg/s]
  std::vector<double> cooling_pressure;   ///< sigma*dp of each cylinder [Pa]
  std::vector<std::string> extrapolated;  ///< what lies outside the readings, and how far
};

/// sigma*dp that a passage's own law takes at a flow [Pa]: (a mu m / A + b m² / A²) / rho_0, without what a
/// solved case says of its resistance.
/// @param temperature  of the air that enters [K].
double cooling_pressure(const network::PassageCoefficients& passage, double mass_flow, double temperature);

/// What is known of an engine's constants, from the installation its readings were taken in.
class EngineTemperatures {
 public:
  /// @param baseline  its readings and sections count, and its network at the readings: model.spec().
  /// @throws InputError   for readings or limits the correlation cannot hold; ResultError where the network
  /// has no
  ///                      solution at a reading.
  explicit EngineTemperatures(const DisturbedModel& baseline);

  /// @param states     DisturbedModel::solve() of the same or of another installation of this engine.
  /// @param model      it was solved with.
  /// @param fuel_flow  [kg/s]; absent: by the specific consumption.
  Temperatures at(const network::Model& model,
                  const std::vector<network::State>& states,
                  std::optional<double> fuel_flow = std::nullopt) const;

  const std::optional<temperature::Calibration>& calibration(Site site) const {
    return calibrations_[temperature::index(site)];
  }
  std::size_t n_readings() const { return n_readings_; }
  /// Every assumption with its number and source, a line each.
  std::vector<std::string> assumptions() const;

 private:
  struct Span {
    std::string name, unit;
    base::Dimension dimension;
    double low = 0.0, high = 0.0;
    bool is_temperature = false;
  };
  std::optional<double> fuel_flow_of(double shaft_power, std::optional<double> stated) const;
  double carburettor_temperature(double outside) const;
  std::vector<std::vector<temperature::CylinderCondition>> conditions(
      const network::Model& model, const std::vector<network::State>& states, double fuel_flow) const;
  void calibrate(const DisturbedModel& baseline);
  void calibrate_site(
      Site site, const std::vector<std::vector<std::vector<temperature::CylinderCondition>>>& at_readings);
  void calibrate_oil(const DisturbedModel& baseline, const std::vector<network::State>& nominal);
  std::optional<temperature::CylinderCondition> required_point(std::string& reason) const;
  void note_spans(const std::vector<network::State>& nominal, const network::Model& model);
  std::vector<std::string> outside_spans(const network::State& state, double mean_cooling_pressure) const;
  OilTemperatures oil(const network::Model& model, const network::State& state) const;

  VariantSpec spec_;
  std::array<std::optional<temperature::Calibration>, temperature::n_sites> calibrations_;
  std::array<std::string, temperature::n_sites> missing_;
  std::vector<temperature::OilObservation> oil_observations_;
  std::optional<temperature::CoolerPoint> cooler_;
  std::string cooler_origin_;
  std::optional<double> consumption_of_readings_;  ///< [kg/J]
  std::size_t n_readings_ = 0;
  std::vector<Span> spans_;
};

/// The cautions that stand with every table of temperatures or margins.
const std::vector<std::string>& cautions();

}  // namespace cowlwright::envelope
