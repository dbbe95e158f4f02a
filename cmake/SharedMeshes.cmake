# Tests whose studies need the same mesh share it, within one run of ctest: the programs keep meshes by what they are made
# of, in the folder that COWLWRIGHT_MESHES names.

set(COWLWRIGHT_SHARED_MESHES ${PROJECT_BINARY_DIR}/shared_meshes)

# Properties of a ctest entry that shares meshes.
set(COWLWRIGHT_SHARES_MESHES
  FIXTURES_REQUIRED shared_meshes
  ENVIRONMENT_MODIFICATION COWLWRIGHT_MESHES=set:${COWLWRIGHT_SHARED_MESHES})

foreach(when IN ITEMS SETUP CLEANUP)
  add_test(NAME end_to_end.SharedMeshes.${when}
    COMMAND ${CMAKE_COMMAND} -E rm -rf ${COWLWRIGHT_SHARED_MESHES})
  set_tests_properties(end_to_end.SharedMeshes.${when} PROPERTIES LABELS end_to_end FIXTURES_${when} shared_meshes)
endforeach()
