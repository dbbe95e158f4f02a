// SPDX-License-Identifier: GPL-3.0-or-later
//
// Run control with the monitors, discretisation and linear solvers.
#include "cases/foam/parts.h"

#include <algorithm>
#include <array>
#include <string>
#include <vector>

namespace cowlwright::foam {

namespace {

/// Walls that the air inside the cowl does not pass. Of the closed reference, all.
bool is_outside(const std::string& patch) {
  constexpr std::array outside{
      "spinner", "cowl", "fuselage", "ring_left", "ring_right", "exit_lip", "side_plate"};
  return std::find(outside.begin(), outside.end(), patch) != outside.end();
}

/// One function object writes all parts of the force on its walls; with those inside, also what cores, oil
/// cooler and leaks take from the air. Its first axis is along the wind, its pressure above the free
/// stream's.
Dictionary force_function(const base::MonitorRecord& monitor, const base::Manifest& manifest) {
  const bool is_inside = monitor.subject == "inside";
  std::vector<Value> patches;
  for (const base::PatchRecord& patch : manifest.patches) {
    const bool belongs_inside = !manifest.is_reference && !is_outside(patch.name);
    if (belongs_inside == is_inside) patches.push_back(patch.name);
  }
  Dictionary function{{"type", "forces"},
                      {"libs", "(\"libforces.so\")"},
                      {"writeControl", "timeStep"},
                      {"writeInterval", 1},
                      {"writePrecision", 10},
                      {"log", "no"},
                      {"patches", list(patches)},
                      {"rho", "rho"},
                      {"pRef", manifest.flight.pressure},
                      {"porosity", is_inside ? "yes" : "no"}};
  const base::Vec3 wind = base::wind_direction(manifest.flight.incidence, manifest.flight.sideslip);
  Dictionary& axes = function.sub("coordinateSystem", {{"type", "cartesian"}, {"origin", base::Vec3{}}});
  axes.sub("rotation", {{"type", "axes"}, {"e1", wind}, {"e2", base::Vec3{0, 1, 0}}});
  return function;
}

Dictionary monitor_function(const base::MonitorRecord& monitor, const base::Manifest& manifest) {
  if (monitor.quantity == "y_plus") {
    // With the fields only: it looks up every wall's nearest cells anew.
    return {{"type", "yPlus"},
            {"libs", "(\"libfieldFunctionObjects.so\")"},
            {"executeControl", "writeTime"},
            {"writeControl", "writeTime"},
            {"log", "no"}};
  }
  if (is_force(monitor)) {
    return force_function(monitor, manifest);
  }
  const bool is_flow = monitor.quantity == "mass_flow";
  Dictionary function{{"type", is_flow ? "surfaceFieldValue" : "volFieldValue"},
                      {"libs", "(\"libfieldFunctionObjects.so\")"},
                      {"writeControl", "timeStep"},
                      {"writeInterval", 1},
                      {"writeFields", "no"},
                      {"log", "no"},
                      {"regionType", is_flow ? "faceZone" : "cellZone"},
                      {"name", monitor.subject},
                      {"operation", is_flow ? "sum" : "volAverage"},
                      {"fields", is_flow ? "(phi)" : "(p)"}};
  return function;
}

/// Iterations between two writes of the fields: they must divide the run, or its last iteration is not
/// written.
int write_interval(int last_iteration) {
  constexpr int longest = 100;
  constexpr int shortest = 20;
  for (int interval = longest; interval >= shortest; --interval) {
    if (last_iteration % interval == 0) {
      return interval;
    }
  }
  return last_iteration;
}

}  // namespace

std::vector<base::MonitorRecord> force_monitors(bool has_inside) {
  constexpr int pressure = 4;  // of the table's vectors: total, pressure, viscous, porous
  constexpr int viscous = 7;
  constexpr int porous = 10;
  const auto record = [](const char* quantity, const std::string& subject, int column) {
    return base::MonitorRecord{quantity, subject, "force_" + subject, "force.dat", column};
  };
  std::vector<base::MonitorRecord> monitors{record("pressure_force", "outside", pressure),
                                            record("viscous_force", "outside", viscous)};
  if (has_inside) {
    monitors.push_back(record("pressure_force", "inside", pressure));
    monitors.push_back(record("viscous_force", "inside", viscous));
    monitors.push_back(record("porous_force", "inside", porous));
  }
  return monitors;
}

Dictionary control(const base::Manifest& manifest) {
  Dictionary dictionary{{"application", "rhoSimpleFoam"},
                        {"startFrom", "latestTime"},
                        {"startTime", 0},
                        {"stopAt", "endTime"},
                        {"endTime", manifest.last_iteration},
                        {"deltaT", 1},
                        {"writeControl", "timeStep"},
                        {"writeInterval", write_interval(manifest.last_iteration)},
                        {"purgeWrite", 2},
                        {"writeFormat", "binary"},
                        {"writePrecision", 12},
                        {"writeCompression", "off"},
                        {"timeFormat", "general"},
                        {"timePrecision", 8},
                        {"runTimeModifiable", "yes"}};
  Dictionary& functions = dictionary.sub("functions");
  for (const base::MonitorRecord& monitor : manifest.monitors) {
    const bool is_listed = is_force(monitor) && monitor.quantity != "pressure_force";  // one table for all
    if (!is_listed) functions.sub(monitor.function_object, monitor_function(monitor, manifest));
  }
  // A file of this name in the case folder ends the solver after the current iteration, which is written.
  functions.sub("stop_on_request",
                {{"type", "abort"},
                 {"libs", "(\"libutilityFunctionObjects.so\")"},
                 {"file", "\"<case>/STOP\""},
                 {"action", "writeNow"}});
  return dictionary;
}

Dictionary schemes() {
  Dictionary dictionary;
  dictionary.sub("ddtSchemes", {{"default", "steadyState"}});
  dictionary.sub(
      "gradSchemes",
      {{"default", "Gauss linear"}, {"limited", "cellLimited Gauss linear 1"}, {"grad(U)", "$limited"}});
  dictionary.sub("divSchemes",
                 {{"default", "none"},
                  {"div(phi,U)", "bounded Gauss linearUpwindV limited"},
                  {"div(phi,h)", "bounded Gauss upwind"},
                  {"div(phi,K)", "bounded Gauss upwind"},
                  {"div(phi,Ekp)", "bounded Gauss upwind"},
                  {"div(phid,p)", "Gauss upwind"},
                  {"div(phi,k)", "bounded Gauss upwind"},
                  {"div(phi,omega)", "bounded Gauss upwind"},
                  {"div(((rho*nuEff)*dev2(T(grad(U)))))", "Gauss linear"}});
  dictionary.sub("laplacianSchemes", {{"default", "Gauss linear limited 0.5"}});
  dictionary.sub("interpolationSchemes", {{"default", "linear"}});
  dictionary.sub("snGradSchemes", {{"default", "limited 0.5"}});
  dictionary.sub("wallDist", {{"method", "meshWave"}});
  return dictionary;
}

Dictionary solution() {
  Dictionary dictionary;
  Dictionary& solvers = dictionary.sub("solvers");
  solvers.sub("p",
              {{"solver", "GAMG"},
               {"smoother", "GaussSeidel"},
               {"tolerance", 1e-9},
               {"relTol", 0.05},
               {"nCellsInCoarsestLevel", 50}});
  solvers.sub(
      "\"(U|h|k|omega)\"",
      {{"solver", "smoothSolver"}, {"smoother", "symGaussSeidel"}, {"tolerance", 1e-10}, {"relTol", 0.1}});
  // SIMPLEC without relaxing p and rho settles to 0.05 % with second-order convection. Relaxed (p 0.3, rho
  // 0.05) the density lags the pressure and both decks swing by several per cent for hundreds of iterations.
  Dictionary& simple = dictionary.sub("SIMPLE");
  simple.set("nNonOrthogonalCorrectors", 0).set("consistent", "yes").set("transonic", "no");
  simple.set("rhoMin", 0.2).set("rhoMax", 2.5).set("pMin", 10000).set("pMax", 200000);
  Dictionary& relaxation = dictionary.sub("relaxationFactors");
  relaxation.sub("fields", {{"p", 1}, {"rho", 1}});
  relaxation.sub("equations", {{"U", 0.9}, {"h", 0.9}, {"k", 0.9}, {"omega", 0.9}});
  return dictionary;
}

}  // namespace cowlwright::foam
