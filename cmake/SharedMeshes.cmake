# Tests whose studies need the same mesh share it, within one run of ctest: see tests/support/shared_meshes.

set(COWLWRIGHT_SHARED_MESHES ${PROJECT_BINARY_DIR}/shared_meshes)
configure_file(${PROJECT_SOURCE_DIR}/tests/support/shared_meshes/snappyHexMesh.in
  ${COWLWRIGHT_SHARED_MESHES}/bin/snappyHexMesh @ONLY
  FILE_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)

# Properties of a ctest entry that shares meshes.
set(COWLWRIGHT_SHARES_MESHES
  FIXTURES_REQUIRED shared_meshes
  ENVIRONMENT_MODIFICATION PATH=path_list_prepend:${COWLWRIGHT_SHARED_MESHES}/bin)

foreach(when IN ITEMS SETUP CLEANUP)
  add_test(NAME end_to_end.SharedMeshes.${when}
    COMMAND ${CMAKE_COMMAND} -E rm -rf ${COWLWRIGHT_SHARED_MESHES}/kept)
  set_tests_properties(end_to_end.SharedMeshes.${when} PROPERTIES LABELS end_to_end FIXTURES_${when} shared_meshes)
endforeach()
