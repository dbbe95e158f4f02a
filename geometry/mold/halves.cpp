// SPDX-License-Identifier: GPL-3.0-or-later
//
// Dividing the faces between the pulls. The least cost is a minimum cut of the graph of neighbouring faces.
#include "geometry/base/error.h"
#include "geometry/base/parallel.h"
#include "geometry/mold/parting.h"

#include <boost/graph/boykov_kolmogorov_max_flow.hpp>
#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/range/iterator_range.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <sstream>

namespace cowlwright::mold {
namespace {

/// Cost of each face with each pull [m²].
using FaceCosts = std::vector<std::vector<double>>;

FaceCosts face_costs(const Sheet& sheet,
                     const CornerNormals& normals,
                     std::span<const Vec3> pulls,
                     std::span<const Sight> sights,
                     const PartingCosts& costs) {
  FaceCosts result(pulls.size(), std::vector<double>(sheet.n_faces()));
  for (std::size_t k = 0; k < pulls.size(); ++k) {
    base::for_each_index(sheet.n_faces(), [&](std::size_t f) {
      const double sine = dot(normal_at(normals[f], {1.0, 1.0, 1.0}), pulls[k]);
      const double flat = sine < std::sin(costs.error_limit)     ? 0.25
                          : sine < std::sin(costs.warning_limit) ? 0.1
                                                                 : 0.0;
      const double hidden = sights[k].hidden[f];
      const double loose = k < 2 ? 0.0 : 0.15;  // loose pieces take what the halves draw worse
      // The last term decides between equals: the pull the face looks along more.
      result[k][f] = sheet.area[f] * (hidden + (1.0 - hidden) * flat + loose + 1e-3 * (1.0 - sine));
    });
  }
  return result;
}

/// One inner edge.
struct Border {
  std::uint32_t a, b;
  double cost;
};

std::vector<Border> borders(const Sheet& sheet, double line_cost) {
  std::vector<Border> list;
  for (std::uint32_t f = 0; f < sheet.n_faces(); ++f) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::int32_t n = sheet.neighbour[f][k];
      if (n < static_cast<std::int32_t>(f)) continue;
      list.push_back(
          {f, static_cast<std::uint32_t>(n), line_cost * norm(sheet.corner(f, k + 1) - sheet.corner(f, k))});
    }
  }
  return list;
}

/// Minimum cut between two terminals over nodes 0 ... n-1.
class Cut {
 public:
  explicit Cut(std::size_t n_nodes) : gain_(n_nodes, 0.0) {}
  /// Cost of a node on the sink's side, less that on the source's.
  void add_gain(std::size_t node, double cost_at_sink) { gain_[node] += cost_at_sink; }
  /// Cost when `from` is on the source's side and `to` on the sink's, and the other way.
  void add_arcs(std::uint32_t from, std::uint32_t to, double cost, double cost_back) {
    arcs_.push_back({from, to, cost, cost_back});
  }
  /// Whether each node ends on the source's side.
  std::vector<bool> solve() const;

 private:
  struct Arc {
    std::uint32_t from, to;
    double cost, cost_back;
  };
  std::vector<double> gain_;
  std::vector<Arc> arcs_;
};

std::vector<bool> Cut::solve() const {
  using Traits = boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, boost::no_property>;
  const std::size_t n = gain_.size();
  const std::size_t source = n, sink = n + 1;
  std::vector<std::pair<std::size_t, std::size_t>> ends;
  std::vector<double> capacity;
  std::vector<std::size_t> back;
  // The graph sorts its arcs by their start: count places first, so that arc numbers are known.
  std::vector<std::size_t> place(n + 3, 0);
  const auto both_ways = [&](auto&& take) {
    for (const Arc& arc : arcs_) take(arc.from, arc.to, arc.cost, arc.cost_back);
    for (std::size_t i = 0; i < n; ++i) {
      if (gain_[i] > 0.0) take(source, i, gain_[i], 0.0);
      if (gain_[i] < 0.0) take(i, sink, -gain_[i], 0.0);
    }
  };
  both_ways([&](std::size_t a, std::size_t b, double, double) {
    ++place[a + 1];
    ++place[b + 1];
  });
  for (std::size_t i = 1; i < place.size(); ++i) place[i] += place[i - 1];
  ends.resize(place.back());
  capacity.resize(place.back());
  back.resize(place.back());
  both_ways([&](std::size_t a, std::size_t b, double there, double home) {
    const std::size_t i = place[a]++;
    const std::size_t j = place[b]++;
    ends[i] = {a, b};
    ends[j] = {b, a};
    capacity[i] = there;
    capacity[j] = home;
    back[i] = j;
    back[j] = i;
  });
  const Traits graph(boost::edges_are_sorted, ends.begin(), ends.end(), n + 2);
  using Edge = boost::graph_traits<Traits>::edge_descriptor;
  std::vector<Edge> edge_of(ends.size());
  for (const Edge& e : boost::make_iterator_range(edges(graph)))
    edge_of[get(boost::edge_index, graph, e)] = e;
  std::vector<Edge> reverse(ends.size());
  for (std::size_t i = 0; i < back.size(); ++i) reverse[i] = edge_of[back[i]];
  std::vector<double> residual(ends.size(), 0.0);
  std::vector<Edge> predecessor(n + 2);
  std::vector<boost::default_color_type> colour(n + 2);
  std::vector<long> distance(n + 2);
  const auto by_edge = get(boost::edge_index, graph);
  const auto by_node = get(boost::vertex_index, graph);
  boost::boykov_kolmogorov_max_flow(graph,
                                    boost::make_iterator_property_map(capacity.begin(), by_edge),
                                    boost::make_iterator_property_map(residual.begin(), by_edge),
                                    boost::make_iterator_property_map(reverse.begin(), by_edge),
                                    boost::make_iterator_property_map(predecessor.begin(), by_node),
                                    boost::make_iterator_property_map(colour.begin(), by_node),
                                    boost::make_iterator_property_map(distance.begin(), by_node),
                                    by_node,
                                    source,
                                    sink);
  std::vector<bool> is_at_source(n);
  for (std::size_t i = 0; i < n; ++i) is_at_source[i] = colour[i] == boost::black_color;
  return is_at_source;
}

/// Lets every face keep its pull or change to `pull`, at the least cost. @return whether any did.
bool expand(const FaceCosts& costs, const std::vector<Border>& edges, std::uint8_t pull, Halves& halves) {
  const std::size_t n = halves.size();
  Cut cut(n);  // at the source: keeps its pull; at the sink: changes
  for (std::size_t f = 0; f < n; ++f) {
    cut.add_gain(f, costs[pull][f] - costs[halves[f]][f]);
  }
  for (const Border& e : edges) {
    const double both_keep = halves[e.a] == halves[e.b] ? 0.0 : e.cost;
    const double b_changes = halves[e.a] == pull ? 0.0 : e.cost;
    const double a_changes = halves[e.b] == pull ? 0.0 : e.cost;
    // The four costs as one per face and one for the pair that differs (none is left when both change).
    cut.add_gain(e.a, a_changes - both_keep);
    cut.add_gain(e.b, -a_changes);
    cut.add_arcs(e.a, e.b, std::max(0.0, a_changes + b_changes - both_keep), 0.0);
  }
  const std::vector<bool> keeps = cut.solve();
  bool has_changed = false;
  for (std::size_t f = 0; f < n; ++f) {
    if (keeps[f] || halves[f] == pull) continue;
    halves[f] = pull;
    has_changed = true;
  }
  return has_changed;
}

/// The half an island would join: the one it has the longest border with; its own when it has none.
std::uint8_t surrounding_half(const Sheet& sheet, const Halves& halves, const Region& island) {
  std::array<double, most_pulls> border{};
  const std::uint8_t own = halves[island.faces.front()];
  for (const std::uint32_t f : island.faces) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::int32_t n = sheet.neighbour[f][k];
      if (n < 0 || halves[static_cast<std::size_t>(n)] == own) continue;
      border[halves[static_cast<std::size_t>(n)]] += norm(sheet.corner(f, k + 1) - sheet.corner(f, k));
    }
  }
  const auto longest = std::max_element(border.begin(), border.end());
  return *longest > 0.0 ? static_cast<std::uint8_t>(longest - border.begin()) : own;
}

/// A part of the mold is one piece: of the first two, islands of less than 2 % of the surface go to the half
/// round them; loose pieces may stand in several places but are no smaller than 10 cm².
void merge_islands(const Sheet& sheet, std::size_t n_pulls, Halves& halves) {
  constexpr double smallest_piece = 1e-3;  // [m²]
  constexpr double smallest_share = 0.02;
  double total = 0.0;
  for (const double area : sheet.area) total += area;
  const std::vector<double> whole(sheet.n_faces(), 1.0);
  for (std::size_t pull = 0; pull < n_pulls; ++pull) {
    std::vector<bool> is_own(sheet.n_faces());
    for (std::size_t f = 0; f < sheet.n_faces(); ++f) is_own[f] = halves[f] == pull;
    const std::vector<Region> regions = connected_regions(sheet, is_own, whole);
    for (std::size_t i = 0; i < regions.size(); ++i) {
      const bool may_stay =
          pull < 2 ? i == 0 || regions[i].area > smallest_share * total : regions[i].area > smallest_piece;
      if (may_stay) continue;
      const std::uint8_t round_it = surrounding_half(sheet, halves, regions[i]);
      for (const std::uint32_t f : regions[i].faces) halves[f] = round_it;
    }
  }
}

}  // namespace

SplitPlane parse_split(const std::string& text) {
  std::istringstream in(text);
  std::string kind, rest;
  double mm = 0.0;
  const bool is_read = static_cast<bool>(in >> kind >> mm);
  const bool has_more = static_cast<bool>(in >> rest) && rest != "mm";
  const bool is_known = kind == "FS" || kind == "BL" || kind == "WL";
  if (!is_read || has_more || !is_known || !std::isfinite(mm)) {
    throw base::InputError(fmt::format(
        "--split = {}: must be \"FS n\", \"BL n\" or \"WL n\" with n in mm, for example \"BL 0\".", text));
  }
  const Vec3 normal = kind == "FS" ? Vec3{1, 0, 0} : kind == "BL" ? Vec3{0, 1, 0} : Vec3{0, 0, 1};
  return {normal, 0.001 * mm, text};
}

Halves halves_by_plane(const Sheet& sheet,
                       std::span<const Vec3> pulls,
                       std::span<const Sight> sights,
                       const SplitPlane& plane) {
  constexpr double along_plane = 0.087;  // sine of 5 deg
  const auto best_for = [&](double sign) {
    std::size_t best = 0;
    for (std::size_t k = 1; k < pulls.size(); ++k) {
      if (sign * dot(pulls[k], plane.normal) > sign * dot(pulls[best], plane.normal)) best = k;
    }
    if (sign * dot(pulls[best], plane.normal) > along_plane) return best;
    throw base::InputError(fmt::format(
        "--split = {}: no --pull leads away from one side of it. Give one pull for each half, for example "
        "--split \"BL 0\" --pull \"0 1 0\" --pull \"0 -1 0\".",
        plane.text));
  };
  const std::array<std::size_t, 2> half{best_for(-1.0), best_for(1.0)};
  Halves halves(sheet.n_faces(), 0);
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    const std::size_t own = half[dot(sheet.centroid[f], plane.normal) > plane.offset ? 1 : 0];
    std::size_t chosen = own;
    for (std::size_t k = 0; k < pulls.size(); ++k) {
      const bool is_loose = k != half[0] && k != half[1];
      if (is_loose && sights[chosen].hidden[f] > 0.5 && sights[k].hidden[f] < 0.5) chosen = k;
    }
    halves[f] = static_cast<std::uint8_t>(chosen);
  }
  return halves;
}

Halves proposed_halves(const Sheet& sheet,
                       const CornerNormals& normals,
                       std::span<const Vec3> pulls,
                       std::span<const Sight> sights,
                       const PartingCosts& costs) {
  constexpr int most_rounds = 4;
  Halves halves(sheet.n_faces(), 0);
  if (pulls.size() < 2) return halves;
  const FaceCosts per_face = face_costs(sheet, normals, pulls, sights, costs);
  const std::vector<Border> edges = borders(sheet, costs.line_cost);
  for (int round = 0; round < most_rounds; ++round) {
    bool has_changed = false;
    for (std::size_t k = round == 0 ? 1 : 0; k < pulls.size(); ++k) {
      has_changed = expand(per_face, edges, static_cast<std::uint8_t>(k), halves) || has_changed;
    }
    if (!has_changed || pulls.size() == 2) break;
  }
  merge_islands(sheet, pulls.size(), halves);
  return halves;
}

std::vector<double> undercut_shares(const Sheet& sheet, const Halves& halves, std::span<const Sight> sights) {
  std::vector<double> shares(sheet.n_faces());
  const std::vector<std::uint8_t> touched = halves_touched(sheet, halves);
  for (std::size_t f = 0; f < sheet.n_faces(); ++f) {
    const double own = sights[halves[f]].hidden[f];
    shares[f] = own;
    for (std::size_t k = 0; k < sights.size(); ++k) {
      if (k == halves[f] || (touched[f] >> k & 1U) == 0) continue;
      shares[f] = std::min(shares[f], share_in_both(own, sights[k].hidden[f]));
    }
  }
  return shares;
}

}  // namespace cowlwright::mold
