// SPDX-License-Identifier: GPL-3.0-or-later
//
// A flight log of any bytes: it gives segments or throws InputError, nothing else.
#include "cases/readings/screening.h"
#include "cases/readings/segments.h"
#include "geometry/base/error.h"

#include <cstddef>
#include <cstdint>
#include <cstdlib>

namespace {

constexpr const char* map_text = R"toml([log]
file = "f.csv"
name = "n"
instrument = "i"
engine_cylinders = 4
cylinders = ["l1", "l2"]
[columns]
time = "t"
pressure_altitude = "a"
true_airspeed = "v"
outside_temperature = "o"
head_bottom = ["c", "d"]
[units]
time = "s"
pressure_altitude = "ft"
true_airspeed = "kt"
outside_temperature = "degF"
head_bottom = "degF"
[engine]
shaft_power = "80 hp"
rotational_speed = "2400 rpm"
)toml";

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace cowlwright;
  static const readings::LogMap map = readings::parse_log_map(map_text, "map.toml");
  try {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    const readings::FlightLog log = readings::screen(map, readings::parse_flight_log(map, text, "f.csv"));
    for (std::size_t i = 1; i < log.time.size(); ++i) {
      if (!(log.time[i] > log.time[i - 1])) std::abort();
    }
    readings::Segments segments = readings::steady_segments(map, log);
    readings::choose_readings(segments);
  } catch (const base::InputError&) {
    // A refusal is what most of them deserve.
  }
  return 0;
}
