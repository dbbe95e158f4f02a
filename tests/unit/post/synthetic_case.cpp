// SPDX-License-Identifier: GPL-3.0-or-later
//
// The writer of tiny cases.
#include "tests/unit/post/synthetic_case.h"

#include <fmt/format.h>
#include <zlib.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <fstream>
#include <stdexcept>
#include <utility>

namespace cowlwright::post::synthetic {

namespace {

namespace fs = std::filesystem;

/// Text and raw bytes of one file.
class FoamWriter {
 public:
  FoamWriter(const Duct& duct, const std::string& foam_class, const std::string& object)
      : binary_(duct.encoding == Encoding::Binary), label_bytes_(duct.label_bytes) {
    bytes_ = fmt::format("FoamFile\n{{\n    version 2.0;\n    format {};\n    class {};\n",
                         binary_ ? "binary" : "ascii",
                         foam_class);
    if (binary_) {
      bytes_ += fmt::format("    arch \"LSB;label={};scalar=64\";\n", 8 * label_bytes_);
    }
    bytes_ += fmt::format("    object {};\n}}\n// a comment line\n", object);
  }

  void text(const std::string& words) { bytes_ += words; }

  void labels(const std::vector<int>& values) {
    list(values.size(), [&](std::size_t i) {
      if (!binary_) {
        bytes_ += fmt::format("{} ", values[i]);
      } else if (label_bytes_ == 8) {
        raw(static_cast<std::int64_t>(values[i]));
      } else {
        raw(static_cast<std::int32_t>(values[i]));
      }
    });
  }

  void flags(const std::vector<bool>& values) {
    list(values.size(), [&](std::size_t i) {
      bytes_ += binary_ ? std::string(1, values[i] ? '\1' : '\0') : std::string(values[i] ? "1 " : "0 ");
    });
  }

  void scalars(const std::vector<double>& values) {
    list(values.size(), [&](std::size_t i) { number(values[i]); });
  }

  void vectors(const std::vector<base::Vec3>& values) {
    list(values.size(), [&](std::size_t i) {
      bytes_ += binary_ ? "" : "(";
      number(values[i].x);
      number(values[i].y);
      number(values[i].z);
      bytes_ += binary_ ? "" : ")\n";
    });
  }

  bool is_binary() const { return binary_; }
  const std::string& bytes() const { return bytes_; }

 private:
  template <typename Number>
  void raw(Number value) {
    std::array<char, sizeof(Number)> buffer{};
    std::memcpy(buffer.data(), &value, sizeof(Number));
    bytes_.append(buffer.data(), buffer.size());
  }
  void number(double value) {
    if (binary_) {
      raw(value);
    } else {
      bytes_ += fmt::format("{:.17g} ", value);
    }
  }
  template <typename WriteOne>
  void list(std::size_t size, WriteOne write_one) {
    bytes_ += fmt::format("{}", size);
    if (size == 0) {
      bytes_ += binary_ ? "" : "()";
      return;
    }
    bytes_ += binary_ ? "\n(" : "(";
    for (std::size_t i = 0; i < size; ++i) {
      write_one(i);
    }
    bytes_ += ")";
  }

  bool binary_;
  int label_bytes_;
  std::string bytes_;
};

void put_file(const Duct& duct, const fs::path& path, const std::string& bytes) {
  if (duct.encoding != Encoding::Gzip) {
    put_text(path, bytes);
    return;
  }
  fs::create_directories(path.parent_path());
  gzFile file = gzopen((path.string() + ".gz").c_str(), "wb");
  gzwrite(file, bytes.data(), static_cast<unsigned>(bytes.size()));
  gzclose(file);
}

/// One rank's share: columns [first, last) of cells. Faces in OpenFOAM's order.
struct Share {
  const Duct& duct;
  int first;
  int last;
  int rank;  // -1: whole
  std::vector<base::Vec3> points;
  std::vector<std::array<int, 4>> faces;
  std::vector<DuctFace> shapes;
  std::vector<int> owner;
  std::vector<int> neighbour;
  std::vector<base::Vec3> cells;
  struct Patch {
    std::string name;
    std::string type;
    std::size_t start;
    std::size_t size;
  };
  std::vector<Patch> patches;
};

int point_id(const Share& share, int i, int j, int k) {
  const int n = share.last - share.first + 1;
  return i + n * (j + (share.duct.ny + 1) * k);
}

int cell_id(const Share& share, int i, int j, int k) {
  const int n = share.last - share.first;
  return i + n * (j + share.duct.ny * k);
}

/// The four corners of the face of cell (i, j, k) whose outward normal is direction 0..5: -x +x -y +y -z +z.
std::array<int, 4> corners(const Share& share, int i, int j, int k, int direction) {
  const auto at = [&](int a, int b, int c) { return point_id(share, i + a, j + b, k + c); };
  switch (direction) {
    case 0:
      return {at(0, 0, 0), at(0, 0, 1), at(0, 1, 1), at(0, 1, 0)};
    case 1:
      return {at(1, 0, 0), at(1, 1, 0), at(1, 1, 1), at(1, 0, 1)};
    case 2:
      return {at(0, 0, 0), at(1, 0, 0), at(1, 0, 1), at(0, 0, 1)};
    case 3:
      return {at(0, 1, 0), at(0, 1, 1), at(1, 1, 1), at(1, 1, 0)};
    case 4:
      return {at(0, 0, 0), at(0, 1, 0), at(1, 1, 0), at(1, 0, 0)};
    default:
      return {at(0, 0, 1), at(1, 0, 1), at(1, 1, 1), at(0, 1, 1)};
  }
}

void add_face(Share& share, int i, int j, int k, int direction, int neighbour) {
  const std::array<int, 4> face = corners(share, i, j, k, direction);
  base::Vec3 centre;
  for (const int corner : face) {
    centre = centre + 0.25 * share.points[static_cast<std::size_t>(corner)];
  }
  const double area = share.duct.cell * share.duct.cell * (direction % 2 == 0 ? -1.0 : 1.0);
  const base::Vec3 normal = direction < 2   ? base::Vec3{area, 0.0, 0.0}
                            : direction < 4 ? base::Vec3{0.0, area, 0.0}
                                            : base::Vec3{0.0, 0.0, area};
  share.faces.push_back(face);
  share.shapes.push_back({centre, normal});
  share.owner.push_back(cell_id(share, i, j, k));
  if (neighbour >= 0) {
    share.neighbour.push_back(neighbour);
  }
}

template <typename Visit>
void for_each_cell(const Share& share, Visit visit) {
  for (int k = 0; k < share.duct.nz; ++k) {
    for (int j = 0; j < share.duct.ny; ++j) {
      for (int i = 0; i < share.last - share.first; ++i) {
        visit(i, j, k);
      }
    }
  }
}

void add_internal_faces(Share& share) {
  const int n = share.last - share.first;
  for_each_cell(share, [&](int i, int j, int k) {
    share.cells.push_back(share.duct.origin +
                          share.duct.cell * base::Vec3{share.first + i + 0.5, j + 0.5, k + 0.5});
    if (i + 1 < n) {
      add_face(share, i, j, k, 1, cell_id(share, i + 1, j, k));
    }
    if (j + 1 < share.duct.ny) {
      add_face(share, i, j, k, 3, cell_id(share, i, j + 1, k));
    }
    if (k + 1 < share.duct.nz) {
      add_face(share, i, j, k, 5, cell_id(share, i, j, k + 1));
    }
  });
}

/// Boundary faces that `direction` selects at the ends of the share, as one patch.
template <typename Belongs>
void add_patch(Share& share, const std::string& name, const std::string& type, Belongs belongs) {
  const std::size_t start = share.faces.size();
  const int n = share.last - share.first;
  for_each_cell(share, [&](int i, int j, int k) {
    const std::array<bool, 6> is_outer{
        i == 0, i + 1 == n, j == 0, j + 1 == share.duct.ny, k == 0, k + 1 == share.duct.nz};
    for (int direction = 0; direction < 6; ++direction) {
      if (is_outer[static_cast<std::size_t>(direction)] && belongs(direction)) {
        add_face(share, i, j, k, direction, -1);
      }
    }
  });
  share.patches.push_back({name, type, start, share.faces.size() - start});
}

Share make_share(const Duct& duct, int first, int last, int rank) {
  Share share{.duct = duct,
              .first = first,
              .last = last,
              .rank = rank,
              .points = {},
              .faces = {},
              .shapes = {},
              .owner = {},
              .neighbour = {},
              .cells = {},
              .patches = {}};
  for (int k = 0; k <= duct.nz; ++k) {
    for (int j = 0; j <= duct.ny; ++j) {
      for (int i = first; i <= last; ++i) {
        share.points.push_back(duct.origin + duct.cell * base::Vec3{static_cast<double>(i),
                                                                    static_cast<double>(j),
                                                                    static_cast<double>(k)});
      }
    }
  }
  add_internal_faces(share);
  const bool front_is_border = first > 0;
  const bool back_is_border = last < duct.nx;
  add_patch(share, "front", "patch", [&](int d) { return d == 0 && !front_is_border; });
  add_patch(share, "back", "patch", [&](int d) { return d == 1 && !back_is_border; });
  add_patch(share, "sides", "wall", [](int d) { return d > 1; });
  if (rank >= 0) {
    add_patch(share, fmt::format("procBoundary{}to{}", rank, 1 - rank), "processor", [&](int d) {
      return (d == 0 && front_is_border) || (d == 1 && back_is_border);
    });
  }
  return share;
}

void write_boundary(const Share& share, const fs::path& mesh) {
  FoamWriter file(share.duct, "polyBoundaryMesh", "boundary");
  file.text(fmt::format("{}\n(\n", share.patches.size()));
  for (const Share::Patch& patch : share.patches) {
    file.text(fmt::format("{}\n{{\n type {};\n inGroups 1(wall);\n nFaces {};\n startFace {};\n",
                          patch.name,
                          patch.type,
                          patch.size,
                          patch.start));
    if (patch.type == "processor") {
      file.text(
          fmt::format(" myProcNo {};\n neighbProcNo {};\n matchTolerance 0.0001;\n transform unknown;\n",
                      share.rank,
                      1 - share.rank));
    }
    file.text("}\n");
  }
  file.text(")\n");
  put_file(share.duct, mesh / "boundary", file.bytes());
}

void write_faces(const Share& share, const fs::path& mesh) {
  const bool is_binary = share.duct.encoding == Encoding::Binary;
  FoamWriter file(share.duct, is_binary ? "faceCompactList" : "faceList", "faces");
  if (is_binary) {
    std::vector<int> offsets{0};
    std::vector<int> values;
    for (const auto& face : share.faces) {
      values.insert(values.end(), face.begin(), face.end());
      offsets.push_back(static_cast<int>(values.size()));
    }
    file.labels(offsets);
    file.text("\n");
    file.labels(values);
  } else {
    file.text(fmt::format("{}\n(\n", share.faces.size()));
    for (const auto& face : share.faces) {
      file.text(fmt::format("4({} {} {} {})\n", face[0], face[1], face[2], face[3]));
    }
    file.text(")\n");
  }
  put_file(share.duct, mesh / "faces", file.bytes());
}

void write_zones(const Share& share, const fs::path& mesh) {
  FoamWriter faces(share.duct, "regIOobject", "faceZones");
  faces.text(fmt::format("{}\n(\n", share.duct.face_zones.size()));
  for (const auto& [name, belongs] : share.duct.face_zones) {
    std::vector<int> labels;
    std::vector<bool> flips;
    for (std::size_t face = 0; face < share.shapes.size(); ++face) {
      if (belongs(share.shapes[face])) {
        labels.push_back(static_cast<int>(face));
        flips.push_back(share.duct.is_flipped(share.shapes[face]));
      }
    }
    faces.text(
        fmt::format("{}\n{{\n type faceZone;\nfaceLabels {}", name, labels.empty() ? "" : "List<label> "));
    faces.labels(labels);
    faces.text(fmt::format(";\nflipMap {}", flips.empty() ? "" : "List<bool> "));
    faces.flags(flips);
    faces.text(";\n}\n");
  }
  faces.text(")\n");
  put_file(share.duct, mesh / "faceZones", faces.bytes());
  FoamWriter cells(share.duct, "regIOobject", "cellZones");
  cells.text(fmt::format("{}\n(\n", share.duct.cell_zones.size()));
  for (const auto& [name, belongs] : share.duct.cell_zones) {
    std::vector<int> labels;
    for (std::size_t cell = 0; cell < share.cells.size(); ++cell) {
      if (belongs(share.cells[cell])) {
        labels.push_back(static_cast<int>(cell));
      }
    }
    cells.text(
        fmt::format("{}\n{{\n type cellZone;\ncellLabels {}", name, labels.empty() ? "" : "List<label> "));
    cells.labels(labels);
    cells.text(";\n}\n");
  }
  cells.text(")\n");
  put_file(share.duct, mesh / "cellZones", cells.bytes());
}

void write_mesh(const Share& share, const fs::path& mesh) {
  FoamWriter points(share.duct, "vectorField", "points");
  points.vectors(share.points);
  put_file(share.duct, mesh / "points", points.bytes());
  for (const auto& [name, labels] :
       {std::pair{"owner", share.owner}, std::pair{"neighbour", share.neighbour}}) {
    FoamWriter file(share.duct, "labelList", name);
    file.labels(labels);
    put_file(share.duct, mesh / name, file.bytes());
  }
  write_faces(share, mesh);
  write_boundary(share, mesh);
  write_zones(share, mesh);
}

void write_flux(const Share& share, const fs::path& time_dir) {
  FoamWriter file(share.duct, "surfaceScalarField", "phi");
  file.text(fmt::format("dimensions {};\noriented oriented;\ninternalField nonuniform List<scalar> ",
                        share.duct.flux_dimensions));
  std::vector<double> flux;
  for (const DuctFace& face : share.shapes) {
    flux.push_back(share.duct.flux(face));
  }
  const auto part = [&](std::size_t start, std::size_t size) {
    const auto begin = flux.begin() + static_cast<std::ptrdiff_t>(start);
    return std::vector<double>(begin, begin + static_cast<std::ptrdiff_t>(size));
  };
  file.scalars(part(0, share.patches.front().start));
  file.text(";\nboundaryField\n{\n");
  for (const Share::Patch& patch : share.patches) {
    file.text(fmt::format("{}\n{{\n type calculated;\n", patch.name));
    if (patch.name == "sides") {
      file.text(" value uniform 0;\n}\n");
      continue;
    }
    file.text(" value nonuniform List<scalar> ");
    file.scalars(part(patch.start, patch.size));
    file.text(";\n}\n");
  }
  file.text("}\n");
  put_file(share.duct, time_dir / "phi", file.bytes());
}

template <typename WriteValues>
void write_field(const Share& share,
                 const fs::path& time_dir,
                 const std::string& name,
                 const std::string& type,
                 const std::string& dimensions,
                 WriteValues write_values) {
  FoamWriter file(share.duct, type == "vector" ? "volVectorField" : "volScalarField", name);
  file.text(fmt::format("dimensions {};\ninternalField nonuniform List<{}> ", dimensions, type));
  write_values(file);
  file.text(";\nboundaryField\n{\n");
  for (const Share::Patch& patch : share.patches) {
    const std::string zero = type == "vector" ? "(0 0 0)" : "0";
    const bool is_wall = patch.type == "wall";  // takes the values of its cells
    file.text(is_wall ? fmt::format("{} {{ type zeroGradient; }}\n", patch.name)
                      : fmt::format("{} {{ type {}; value uniform {}; }}\n",
                                    patch.name,
                                    patch.type == "processor" ? "processor" : "calculated",
                                    zero));
  }
  file.text("}\n");
  put_file(share.duct, time_dir / name, file.bytes());
}

void write_fields(const Share& share, const fs::path& time_dir) {
  const auto scalar = [&](const std::string& name, const std::string& dimensions, const auto& function) {
    if (function) {
      write_field(share, time_dir, name, "scalar", dimensions, [&](FoamWriter& file) {
        std::vector<double> values;
        for (const base::Vec3& cell : share.cells) {
          values.push_back(function(cell));
        }
        file.scalars(values);
      });
    }
  };
  const auto vector = [&](const std::string& name, const std::string& dimensions, const auto& function) {
    if (function) {
      write_field(share, time_dir, name, "vector", dimensions, [&](FoamWriter& file) {
        std::vector<base::Vec3> values;
        for (const base::Vec3& cell : share.cells) {
          values.push_back(function(cell));
        }
        file.vectors(values);
      });
    }
  };
  scalar("p", "[1 -1 -2 0 0 0 0]", share.duct.pressure);
  scalar("T", "[0 0 0 1 0 0 0]", share.duct.temperature);
  scalar("rho", "[1 -3 0 0 0 0 0]", share.duct.density);
  vector("U", "[0 1 -1 0 0 0 0]", share.duct.velocity);
  vector(share.duct.force_name, share.duct.force_dimensions, share.duct.force);
}

void write_share(const Share& share, const fs::path& dir, const std::string& time) {
  write_mesh(share, dir / "constant" / "polyMesh");
  write_flux(share, dir / time);
  write_fields(share, dir / time);
}

void write_control(const fs::path& dir) {
  put_text(dir / "system" / "controlDict",
           "FoamFile { version 2.0; format ascii; class dictionary; object controlDict; }\n"
           "startTime 0; endTime 100; deltaT 1; writeControl timeStep; writeInterval 10; writeFormat ascii;\n"
           "timeFormat general;\n");
}

}  // namespace

std::function<bool(const DuctFace&)> faces_at_x(double x) {
  return [x](const DuctFace& face) { return std::abs(face.centre.x - x) < 1e-9 && face.area.x != 0.0; };
}

std::function<bool(const base::Vec3&)> cells_between(double low, double high) {
  return [low, high](const base::Vec3& centre) { return centre.x > low && centre.x < high; };
}

void put_text(const fs::path& path, const std::string& text) {
  fs::create_directories(path.parent_path());
  std::ofstream file(path, std::ios::binary);
  file << text;
  if (!file) {
    throw std::runtime_error("test cannot write " + path.string());
  }
}

void write_duct(const Duct& duct, const fs::path& dir, const std::string& time) {
  write_control(dir);
  write_share(make_share(duct, 0, duct.nx, -1), dir, time);
}

void write_split_duct(const Duct& duct, int split, const fs::path& dir, const std::string& time) {
  write_control(dir);
  write_share(make_share(duct, 0, split, 0), dir / "processor0", time);
  write_share(make_share(duct, split, duct.nx, 1), dir / "processor1", time);
}

}  // namespace cowlwright::post::synthetic
