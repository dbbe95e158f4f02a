// SPDX-License-Identifier: GPL-3.0-or-later
//
// Run control with the monitors, discretisation and linear solvers.
#include "cases/foam/parts.h"

namespace cowlwright::foam {

namespace {

Dictionary monitor_function(const base::MonitorRecord& monitor) {
  if (monitor.quantity == "y_plus") {
    // With the fields only: it looks up every wall's nearest cells anew.
    return {{"type", "yPlus"},
            {"libs", "(\"libfieldFunctionObjects.so\")"},
            {"executeControl", "writeTime"},
            {"writeControl", "writeTime"},
            {"log", "no"}};
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
    functions.sub(monitor.function_object, monitor_function(monitor));
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
