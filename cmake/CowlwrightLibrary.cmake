# The three functions every folder uses to declare what it builds.

# GCC 12 sees copies out of bounds in std::string where there are none (its bugs 105329 and 105651): those stay warnings.
set(COWLWRIGHT_WARNING_FLAGS -Wall -Wextra -Wpedantic -Wshadow -Wconversion
    $<$<BOOL:${COWLWRIGHT_WARNINGS_AS_ERRORS}>:-Werror>
    -Wno-error=array-bounds -Wno-error=restrict -Wno-error=stringop-overflow -Wno-error=stringop-overread)
# A third of a test's compile time at the release's own level, for code that runs milliseconds.
set(COWLWRIGHT_TEST_OPTIONS $<$<CONFIG:Release>:-O1>)
include(PrecompiledHeaders)

# cowlwright_add_library(name SOURCES ... [PUBLIC lib...] [PRIVATE lib...])
# Declares the static library cowlwright::name. The link lists repeat the layer rule of DEVELOPERS.md.
function(cowlwright_add_library name)
  cmake_parse_arguments(PARSE_ARGV 1 arg "" "" "SOURCES;PUBLIC;PRIVATE")
  if(arg_UNPARSED_ARGUMENTS)
    message(FATAL_ERROR "cowlwright_add_library(${name}): unknown arguments: ${arg_UNPARSED_ARGUMENTS}")
  endif()
  add_library(cowlwright_${name} STATIC ${arg_SOURCES})
  add_library(cowlwright::${name} ALIAS cowlwright_${name})
  target_compile_features(cowlwright_${name} PUBLIC cxx_std_20)
  set_target_properties(cowlwright_${name} PROPERTIES CXX_EXTENSIONS OFF)
  target_include_directories(cowlwright_${name} PUBLIC ${PROJECT_SOURCE_DIR})
  target_link_libraries(cowlwright_${name} PUBLIC ${arg_PUBLIC} PRIVATE ${arg_PRIVATE})
  target_compile_options(cowlwright_${name} PRIVATE ${COWLWRIGHT_WARNING_FLAGS})
  cowlwright_use_headers(cowlwright_${name} common)
endfunction()

# cowlwright_add_program(name SOURCES ... LINK lib... [HEADERS common|test])
function(cowlwright_add_program name)
  cmake_parse_arguments(PARSE_ARGV 1 arg "" "HEADERS" "SOURCES;LINK")
  if(arg_UNPARSED_ARGUMENTS)
    message(FATAL_ERROR "cowlwright_add_program(${name}): unknown arguments: ${arg_UNPARSED_ARGUMENTS}")
  endif()
  add_executable(${name} ${arg_SOURCES})
  target_compile_features(${name} PRIVATE cxx_std_20)
  set_target_properties(${name} PROPERTIES CXX_EXTENSIONS OFF)
  target_link_libraries(${name} PRIVATE ${arg_LINK})
  target_compile_options(${name} PRIVATE ${COWLWRIGHT_WARNING_FLAGS})
  if(arg_HEADERS)
    cowlwright_use_headers(${name} ${arg_HEADERS})
  endif()
endfunction()

# cowlwright_add_test(name LAYER unit|verification|end_to_end SOURCES ... LINK lib... [TIMEOUT seconds] [COST seconds]
#                     [SHARES_MESHES])
# Declares one GoogleTest program; its cases appear in ctest as "<layer>.<Suite>.<Test>" with the layer as label.
function(cowlwright_add_test name)
  cmake_parse_arguments(PARSE_ARGV 1 arg "SHARES_MESHES" "LAYER;TIMEOUT;COST" "SOURCES;LINK")
  if(arg_UNPARSED_ARGUMENTS)
    message(FATAL_ERROR "cowlwright_add_test(${name}): unknown arguments: ${arg_UNPARSED_ARGUMENTS}")
  endif()
  if(NOT arg_TIMEOUT)
    set(arg_TIMEOUT 30)
  endif()
  set(properties LABELS ${arg_LAYER} TIMEOUT ${arg_TIMEOUT})
  if(arg_COST)  # what takes long is started first
    list(APPEND properties COST ${arg_COST})
  endif()
  if(arg_SHARES_MESHES)
    list(APPEND properties ${COWLWRIGHT_SHARES_MESHES})
  endif()
  cowlwright_add_program(${name} SOURCES ${arg_SOURCES} LINK ${arg_LINK} GTest::gmock GTest::gtest_main HEADERS test)
  target_include_directories(${name} PRIVATE ${PROJECT_SOURCE_DIR})
  target_compile_definitions(${name} PRIVATE
    COWLWRIGHT_TEST_DATA="${PROJECT_SOURCE_DIR}/tests/data"
    COWLWRIGHT_TEST_GOLDEN="${PROJECT_SOURCE_DIR}/tests/golden"
    COWLWRIGHT_STUDIES="${PROJECT_SOURCE_DIR}/cases/studies"
    COWLWRIGHT_BIN="${CMAKE_RUNTIME_OUTPUT_DIRECTORY}"
    $<$<BOOL:${COWLWRIGHT_REQUIRE_OPENFOAM}>:COWLWRIGHT_REQUIRE_OPENFOAM>)
  target_compile_options(${name} PRIVATE ${COWLWRIGHT_TEST_OPTIONS})
  gtest_discover_tests(${name} TEST_PREFIX "${arg_LAYER}." DISCOVERY_TIMEOUT 60
    PROPERTIES ${properties})
endfunction()
