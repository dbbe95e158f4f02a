// SPDX-License-Identifier: GPL-3.0-or-later
//
// The format is a list of pairs: a group code and a value, each on a line of its own. Every object has a
// handle, a hexadecimal number used once, and names its owner's.
#include "geometry/templates/write_dxf.h"

#include "geometry/base/text_file.h"

#include <fmt/format.h>

#include <cmath>
#include <initializer_list>
#include <iterator>
#include <utility>

namespace cowlwright::templates {

namespace {

constexpr double mm = 1000.0;  // per m

/// Fixed handles of what others point to.
enum Handle : unsigned {
  ModelSpace = 0x10,
  PaperSpace = 0x11,
  RootDictionary = 0x12,
  GroupDictionary = 0x13,
  LtypeTable = 0x14,
  LayerTable = 0x15,
  StyleTable = 0x16,
  AppidTable = 0x17,
  DimstyleTable = 0x18,
  BlockRecordTable = 0x19,
  ViewTable = 0x1A,
  UcsTable = 0x1B,
  VportTable = 0x1C,
  FirstFree = 0x20
};

class DxfWriter {
 public:
  void pair(int code, const std::string& value) {
    fmt::format_to(std::back_inserter(out_), "{}\n{}\n", code, value);
  }
  void pair(int code, const char* value) { pair(code, std::string(value)); }
  void pair(int code, int value) { pair(code, fmt::format("{}", value)); }
  void real(int code, double value) { pair(code, fmt::format("{:.6f}", value + 0.0)); }
  void handle(int code, unsigned value) { pair(code, fmt::format("{:X}", value)); }

  unsigned next() { return next_++; }

  /// Begins an object of a type: its handle, its owner and its classes.
  void begin(const char* type, unsigned own, unsigned owner, std::initializer_list<const char*> classes) {
    pair(0, type);
    handle(5, own);
    handle(330, owner);
    for (const char* name : classes) pair(100, name);
  }
  void begin_section(const char* name) {
    pair(0, "SECTION");
    pair(2, name);
  }
  void begin_table(const char* name, unsigned own, int n_entries) {
    pair(0, "TABLE");
    pair(2, name);
    handle(5, own);
    handle(330, 0);
    pair(100, "AcDbSymbolTable");
    pair(70, n_entries);
  }
  std::string text() const { return fmt::to_string(out_); }

 private:
  fmt::memory_buffer out_;
  unsigned next_ = FirstFree;
};

void write_header(DxfWriter& dxf, const Drawing& drawing) {
  const Box2 box = extents(drawing);
  dxf.begin_section("HEADER");
  const auto variable = [&](const char* name, int code, const char* value) {
    dxf.pair(9, name);
    dxf.pair(code, value);
  };
  variable("$ACADVER", 1, "AC1015");
  variable("$DWGCODEPAGE", 3, "ANSI_1252");
  variable("$INSUNITS", 70, "4");     // mm
  variable("$MEASUREMENT", 70, "1");  // metric
  variable("$LUNITS", 70, "2");       // decimal
  variable("$HANDSEED", 5, "FFFFF");
  for (const auto& [name, corner] : {std::pair("$EXTMIN", box.low), std::pair("$EXTMAX", box.high)}) {
    dxf.pair(9, name);
    dxf.real(10, mm * corner[0]);
    dxf.real(20, mm * corner[1]);
    dxf.real(30, 0.0);
  }
  dxf.pair(0, "ENDSEC");
}

void write_line_types(DxfWriter& dxf) {
  struct LineType {
    const char* name;
    const char* description;
    std::vector<double> dashes;  // drawn > 0, gap < 0 [mm]
  };
  const std::vector<LineType> types{{"ByBlock", "", {}},
                                    {"ByLayer", "", {}},
                                    {"Continuous", "Solid line", {}},
                                    {"BEND", "Dashed", {6.0, -3.0}},
                                    {"MARK", "Chain", {12.0, -3.0, 2.0, -3.0}}};
  dxf.begin_table("LTYPE", LtypeTable, static_cast<int>(types.size()));
  for (const LineType& type : types) {
    dxf.begin("LTYPE", dxf.next(), LtypeTable, {"AcDbSymbolTableRecord", "AcDbLinetypeTableRecord"});
    dxf.pair(2, type.name);
    dxf.pair(70, 0);
    dxf.pair(3, type.description);
    dxf.pair(72, 65);
    dxf.pair(73, static_cast<int>(type.dashes.size()));
    double sum = 0.0;
    for (const double d : type.dashes) sum += std::abs(d);
    dxf.real(40, sum);
    for (const double d : type.dashes) {
      dxf.real(49, d);
      dxf.pair(74, 0);
    }
  }
  dxf.pair(0, "ENDTAB");
}

void write_layers(DxfWriter& dxf, const Drawing& drawing) {
  std::vector<std::string> names = layer_names(drawing);
  names.insert(names.begin(), "0");
  dxf.begin_table("LAYER", LayerTable, static_cast<int>(names.size()));
  for (const std::string& name : names) {
    dxf.begin("LAYER", dxf.next(), LayerTable, {"AcDbSymbolTableRecord", "AcDbLayerTableRecord"});
    dxf.pair(2, name);
    dxf.pair(70, 0);
    dxf.pair(62, 7);
    dxf.pair(6, "Continuous");
  }
  dxf.pair(0, "ENDTAB");
}

void write_other_tables(DxfWriter& dxf) {
  dxf.begin_table("STYLE", StyleTable, 1);
  dxf.begin("STYLE", dxf.next(), StyleTable, {"AcDbSymbolTableRecord", "AcDbTextStyleTableRecord"});
  dxf.pair(2, "Standard");
  dxf.pair(70, 0);
  dxf.real(40, 0.0);
  dxf.real(41, 1.0);
  dxf.real(50, 0.0);
  dxf.pair(71, 0);
  dxf.real(42, 2.5);
  dxf.pair(3, "txt");
  dxf.pair(4, "");
  dxf.pair(0, "ENDTAB");
  for (const auto& [name, table] : {std::pair("VIEW", ViewTable), std::pair("UCS", UcsTable)}) {
    dxf.begin_table(name, table, 0);
    dxf.pair(0, "ENDTAB");
  }
  dxf.begin_table("APPID", AppidTable, 1);
  dxf.begin("APPID", dxf.next(), AppidTable, {"AcDbSymbolTableRecord", "AcDbRegAppTableRecord"});
  dxf.pair(2, "ACAD");
  dxf.pair(70, 0);
  dxf.pair(0, "ENDTAB");
  dxf.begin_table("DIMSTYLE", DimstyleTable, 0);
  dxf.pair(100, "AcDbDimStyleTable");
  dxf.pair(71, 0);
  dxf.pair(0, "ENDTAB");
}

constexpr std::pair<const char*, unsigned> spaces[] = {{"*Model_Space", ModelSpace},
                                                       {"*Paper_Space", PaperSpace}};

void write_blocks(DxfWriter& dxf) {
  dxf.begin_table("BLOCK_RECORD", BlockRecordTable, 2);
  for (const auto& [name, handle] : spaces) {
    dxf.begin("BLOCK_RECORD", handle, BlockRecordTable, {"AcDbSymbolTableRecord", "AcDbBlockTableRecord"});
    dxf.pair(2, name);
  }
  dxf.pair(0, "ENDTAB");
  dxf.pair(0, "ENDSEC");
  dxf.begin_section("BLOCKS");
  for (const auto& [name, handle] : spaces) {
    dxf.begin("BLOCK", dxf.next(), handle, {"AcDbEntity"});
    dxf.pair(8, "0");
    dxf.pair(100, "AcDbBlockBegin");
    dxf.pair(2, name);
    dxf.pair(70, 0);
    for (const int code : {10, 20, 30}) dxf.real(code, 0.0);
    dxf.pair(3, name);
    dxf.pair(1, "");
    dxf.begin("ENDBLK", dxf.next(), handle, {"AcDbEntity"});
    dxf.pair(8, "0");
    dxf.pair(100, "AcDbBlockEnd");
  }
  dxf.pair(0, "ENDSEC");
}

void write_stroke(DxfWriter& dxf, const Stroke& stroke) {
  dxf.begin("LWPOLYLINE", dxf.next(), ModelSpace, {"AcDbEntity"});
  dxf.pair(8, stroke.layer);
  if (stroke.line != Line::Cut) {
    dxf.pair(6, stroke.line == Line::Bend ? "BEND" : "MARK");
    dxf.pair(62, stroke.line == Line::Bend ? 1 : 8);  // red, grey
  }
  dxf.pair(100, "AcDbPolyline");
  dxf.pair(90, static_cast<int>(stroke.curve.points.size()));
  dxf.pair(70, stroke.curve.is_closed ? 1 : 0);
  dxf.real(43, 0.0);
  for (const Point2& p : stroke.curve.points) {
    dxf.real(10, mm * p[0]);
    dxf.real(20, mm * p[1]);
  }
}

void write_label(DxfWriter& dxf, const Label& label) {
  dxf.begin("TEXT", dxf.next(), ModelSpace, {"AcDbEntity"});
  dxf.pair(8, label.layer);
  dxf.pair(100, "AcDbText");
  dxf.real(10, mm * label.at[0]);
  dxf.real(20, mm * label.at[1]);
  dxf.real(30, 0.0);
  dxf.real(40, mm * label.height);
  dxf.pair(1, label.text);
  dxf.pair(100, "AcDbText");
}

/// Title and notes as words below the drawing.
Drawing with_notes(const Drawing& original) {
  constexpr double height = 0.004;
  constexpr double line_pitch = 0.007;
  Drawing drawing = original;
  Point2 at = extents(original).low;
  at[1] -= 0.015;
  drawing.labels.push_back({"NOTES", at, 1.5 * height, original.title});
  for (const std::string& note : original.notes) {
    at[1] -= line_pitch;
    drawing.labels.push_back({"NOTES", at, height, note});
  }
  return drawing;
}

void write_objects(DxfWriter& dxf) {
  dxf.begin_section("OBJECTS");
  dxf.begin("DICTIONARY", RootDictionary, 0, {"AcDbDictionary"});
  dxf.pair(281, 1);
  dxf.pair(3, "ACAD_GROUP");
  dxf.handle(350, GroupDictionary);
  dxf.begin("DICTIONARY", GroupDictionary, RootDictionary, {"AcDbDictionary"});
  dxf.pair(281, 1);
  dxf.pair(0, "ENDSEC");
}

}  // namespace

std::string dxf_text(const Drawing& original) {
  const Drawing drawing = with_notes(original);
  DxfWriter dxf;
  write_header(dxf, drawing);
  dxf.begin_section("CLASSES");
  dxf.pair(0, "ENDSEC");
  dxf.begin_section("TABLES");
  dxf.begin_table("VPORT", VportTable, 0);
  dxf.pair(0, "ENDTAB");
  write_line_types(dxf);
  write_layers(dxf, drawing);
  write_other_tables(dxf);
  write_blocks(dxf);
  dxf.begin_section("ENTITIES");
  for (const Stroke& stroke : drawing.strokes) write_stroke(dxf, stroke);
  for (const Label& label : drawing.labels) write_label(dxf, label);
  dxf.pair(0, "ENDSEC");
  write_objects(dxf);
  dxf.pair(0, "EOF");
  return dxf.text();
}

void write_dxf(const Drawing& drawing, const std::filesystem::path& path) {
  base::write_text(path, dxf_text(drawing));
}

}  // namespace cowlwright::templates
