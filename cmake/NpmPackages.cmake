# npm packages of a folder, installed into its build folder from its lock file.

# cowlwright_npm_packages(stamp)
# Adds the command that installs what the current folder's package-lock.json names, and sets <stamp> to the file that commands
# using the packages depend on. No script of a package is run.
function(cowlwright_npm_packages stamp)
  set(copies)
  foreach(file IN ITEMS .npmrc package.json package-lock.json)
    list(APPEND copies ${CMAKE_CURRENT_SOURCE_DIR}/${file})
  endforeach()
  set(done ${CMAKE_CURRENT_BINARY_DIR}/npm.stamp)
  add_custom_command(
    OUTPUT ${done}
    COMMAND ${CMAKE_COMMAND} -E copy ${copies} ${CMAKE_CURRENT_BINARY_DIR}
    COMMAND ${CMAKE_COMMAND} -E chdir ${CMAKE_CURRENT_BINARY_DIR} ${COWLWRIGHT_NPM} ci --ignore-scripts --include=dev --loglevel=error
    COMMAND ${CMAKE_COMMAND} -E touch ${done}
    DEPENDS ${copies}
    COMMENT "Installing npm packages of ${CMAKE_CURRENT_SOURCE_DIR}"
    VERBATIM)
  set(${stamp} ${done} PARENT_SCOPE)
endfunction()
