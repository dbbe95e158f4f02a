# The headers that most units include, parsed once for all of them. Off in daily work: a unit that lacks an include still
# compiles with them, and ccache passes such units by.

set(COWLWRIGHT_COMMON_HEADERS
    <algorithm> <array> <cmath> <cstdint> <filesystem> <fstream> <functional> <limits> <map> <memory> <numbers>
    <optional> <span> <sstream> <string> <string_view> <utility> <vector> <fmt/format.h> <fmt/ranges.h>)

# cowlwright_add_headers(kind HEADERS <header>... LINK lib... [OPTIONS option...])
# One set of headers; whoever uses it must compile with the same options, or the compiler refuses it with an error.
function(cowlwright_add_headers kind)
  cmake_parse_arguments(PARSE_ARGV 1 arg "" "" "HEADERS;LINK;OPTIONS")
  set(unit ${PROJECT_BINARY_DIR}/precompiled/${kind}.cpp)
  if(NOT EXISTS ${unit})
    file(WRITE ${unit} "")
  endif()
  add_library(cowlwright_${kind}_headers OBJECT ${unit})
  target_compile_features(cowlwright_${kind}_headers PRIVATE cxx_std_20)
  set_target_properties(cowlwright_${kind}_headers PROPERTIES CXX_EXTENSIONS OFF)
  target_compile_options(cowlwright_${kind}_headers PRIVATE ${COWLWRIGHT_WARNING_FLAGS} ${arg_OPTIONS})
  target_link_libraries(cowlwright_${kind}_headers PRIVATE ${arg_LINK})
  target_precompile_headers(cowlwright_${kind}_headers PRIVATE ${arg_HEADERS})
endfunction()

if(COWLWRIGHT_PRECOMPILE_HEADERS)
  find_package(fmt REQUIRED)
  cowlwright_add_headers(common HEADERS ${COWLWRIGHT_COMMON_HEADERS} LINK fmt::fmt)
  if(COWLWRIGHT_BUILD_TESTS)
    find_package(GTest REQUIRED)
    find_package(nlohmann_json REQUIRED)
    cowlwright_add_headers(test
      HEADERS ${COWLWRIGHT_COMMON_HEADERS} <gmock/gmock.h> <gtest/gtest.h> <nlohmann/json.hpp>
      LINK fmt::fmt GTest::gmock nlohmann_json::nlohmann_json
      OPTIONS ${COWLWRIGHT_TEST_OPTIONS})
  endif()
endif()

# cowlwright_use_headers(target common|test)
function(cowlwright_use_headers target kind)
  if(COWLWRIGHT_PRECOMPILE_HEADERS)
    target_link_libraries(${target} PRIVATE fmt::fmt)  # its definitions are part of the headers
    target_precompile_headers(${target} REUSE_FROM cowlwright_${kind}_headers)
  endif()
endfunction()
