// SPDX-License-Identifier: GPL-3.0-or-later
//
// The program `cowlstep`: turns a STEP file into triangles with Open CASCADE. It is a program of its own so
// that whatever a stranger's file does to that library, a crash, endless work or unbounded memory, ends here,
// and so that `cowlwright` does not load the library's files at each start. cowlwright starts it
// (geometry/imported/read_step.cpp); nobody else needs it.
//
//   cowlstep IN.step OUT.obj DEFLECTION_MM ANGLE_RAD MOST_TRIANGLES
//
// OUT.obj: first line "# unit NAME", then one group per body, in file units. Exit code 2 and one line on
// stderr when the file cannot be read.
#include <BRepMesh_IncrementalMesh.hxx>
#include <BRep_Tool.hxx>
#include <IFSelect_ReturnStatus.hxx>
#include <Poly_Triangulation.hxx>
#include <STEPControl_Reader.hxx>
#include <Standard_Failure.hxx>
#include <TColStd_SequenceOfAsciiString.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <map>
#include <memory>
#include <string>
#include <vector>

namespace {

struct Fault {
  std::string text;
};

struct Request {
  std::string in;
  std::string out;
  double deflection = 0;  ///< [mm]
  double angle = 0;       ///< [rad]
  long most_triangles = 0;
};

/// Millimetres per unit of that name in the file; 0 when the name is not known.
double millimetres_per(std::string name) {
  for (char& c : name) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  static const std::map<std::string, double> known{{"millimetre", 1},
                                                   {"millimeter", 1},
                                                   {"mm", 1},
                                                   {"centimetre", 10},
                                                   {"centimeter", 10},
                                                   {"cm", 10},
                                                   {"metre", 1000},
                                                   {"meter", 1000},
                                                   {"m", 1000},
                                                   {"inch", 25.4},
                                                   {"in", 25.4},
                                                   {"foot", 304.8},
                                                   {"feet", 304.8},
                                                   {"ft", 304.8}};
  const auto at = known.find(name);
  return at == known.end() ? 0.0 : at->second;
}

std::string length_unit(STEPControl_Reader& reader) {
  TColStd_SequenceOfAsciiString lengths;
  TColStd_SequenceOfAsciiString angles;
  TColStd_SequenceOfAsciiString solid_angles;
  reader.FileUnits(lengths, angles, solid_angles);
  if (lengths.IsEmpty()) throw Fault{"the file states no unit of length"};
  for (int i = 2; i <= lengths.Length(); ++i) {
    if (!lengths.Value(i).IsEqual(lengths.Value(1))) throw Fault{"the file mixes several units of length"};
  }
  return lengths.Value(1).ToCString();
}

class ObjFile {
 public:
  ObjFile(const Request& request, double scale)
      : file_(std::fopen(request.out.c_str(), "w")), scale_(scale), most_triangles_(request.most_triangles) {
    if (file_ == nullptr) throw Fault{"the triangles cannot be written to the temporary folder"};
  }
  ~ObjFile() {
    if (file_ != nullptr) std::fclose(file_);
  }
  ObjFile(const ObjFile&) = delete;
  ObjFile& operator=(const ObjFile&) = delete;

  void add_unit(const std::string& unit) { std::fprintf(file_, "# unit %s\n", unit.c_str()); }

  void add_body(const TopoDS_Shape& body) {
    bool is_named = false;
    for (TopExp_Explorer at(body, TopAbs_FACE); at.More(); at.Next()) {
      TopLoc_Location location;
      const TopoDS_Face& face = TopoDS::Face(at.Current());
      const auto triangles = BRep_Tool::Triangulation(face, location);
      if (triangles.IsNull()) {
        ++n_faces_without_;
        continue;
      }
      if (!is_named) std::fprintf(file_, "g body_%ld\n", ++n_bodies_);
      is_named = true;
      add_face(*triangles, location.Transformation(), face.Orientation() == TopAbs_REVERSED);
    }
  }

  /// Writes what is buffered; a full disk shows here.
  void close() {
    const bool is_written = std::fclose(file_) == 0;
    file_ = nullptr;
    if (!is_written) throw Fault{"the triangles cannot be written to the temporary folder"};
    if (n_triangles_ == 0) throw Fault{"the file holds no surface"};
    if (n_faces_without_ > 0) {
      throw Fault{std::to_string(n_faces_without_) + " of its faces could not be turned into triangles"};
    }
  }

 private:
  void add_face(const Poly_Triangulation& triangles, const gp_Trsf& placement, bool is_reversed) {
    n_triangles_ += triangles.NbTriangles();
    if (n_triangles_ > most_triangles_) {
      throw Fault{"more than " + std::to_string(most_triangles_) + " triangles at this deflection"};
    }
    for (int i = 1; i <= triangles.NbNodes(); ++i) {
      const gp_Pnt p = triangles.Node(i).Transformed(placement);
      std::fprintf(file_, "v %.17g %.17g %.17g\n", scale_ * p.X(), scale_ * p.Y(), scale_ * p.Z());
    }
    for (int i = 1; i <= triangles.NbTriangles(); ++i) {
      int a = 0;
      int b = 0;
      int c = 0;
      triangles.Triangle(i).Get(a, b, c);
      if (is_reversed) std::swap(b, c);
      std::fprintf(file_, "f %ld %ld %ld\n", n_points_ + a, n_points_ + b, n_points_ + c);
    }
    n_points_ += triangles.NbNodes();
  }

  std::FILE* file_;
  double scale_;
  long most_triangles_;
  long n_points_ = 0;
  long n_triangles_ = 0;
  long n_bodies_ = 0;
  long n_faces_without_ = 0;
};

void convert(const Request& request) {
  STEPControl_Reader reader;
  if (reader.ReadFile(request.in.c_str()) != IFSelect_RetDone) throw Fault{"the file is no whole STEP file"};
  const std::string unit = length_unit(reader);
  const double scale = millimetres_per(unit);
  if (scale == 0.0) throw Fault{"its unit of length, " + unit.substr(0, 40) + ", is not known"};
  reader.TransferRoots();
  if (reader.NbShapes() == 0) throw Fault{"the file holds no surface"};
  const TopoDS_Shape shape = reader.OneShape();  // in mm, whatever the file's unit
  const BRepMesh_IncrementalMesh mesh(
      shape, request.deflection, Standard_False, request.angle, Standard_True);
  ObjFile file(request, 1.0 / scale);
  file.add_unit(unit);
  for (TopExp_Explorer at(shape, TopAbs_SOLID); at.More(); at.Next()) file.add_body(at.Current());
  for (TopExp_Explorer at(shape, TopAbs_SHELL, TopAbs_SOLID); at.More(); at.Next())
    file.add_body(at.Current());
  for (TopExp_Explorer at(shape, TopAbs_FACE, TopAbs_SHELL); at.More(); at.Next())
    file.add_body(at.Current());
  file.close();
}

int report(const std::string& text) {
  std::fprintf(stderr, "cowlstep: %s\n", text.c_str());
  return 2;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 6) return report("wants IN OUT DEFLECTION_MM ANGLE_RAD MOST_TRIANGLES");
  try {
    convert({argv[1], argv[2], std::atof(argv[3]), std::atof(argv[4]), std::atol(argv[5])});
    return 0;
  } catch (const Fault& fault) {
    return report(fault.text);
  } catch (const Standard_Failure& failure) {
    return report(std::string("the geometry library gave up: ") + failure.DynamicType()->Name());
  } catch (const std::exception& error) {
    return report(error.what());
  }
}
