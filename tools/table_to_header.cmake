# Turns the number columns of a table in assets/ into a constexpr array of the same name, in a header
# that only `target` can include: generated/<name>.inc holds the rows.
function(table_to_header table name target)
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/${table})
  file(STRINGS ${PROJECT_SOURCE_DIR}/${table} rows)
  list(POP_FRONT rows)
  set(text "// Made from ${table}; edit that.\n")
  foreach(row ${rows})
    string(REGEX REPLACE ",\"[^\"]*\"$" "" numbers "${row}")
    string(REGEX REPLACE "^([a-z][a-z0-9_]*)," "\"\\1\"," numbers "${numbers}")  # a name is a string
    string(APPEND text "{${numbers}},\n")
  endforeach()
  file(CONFIGURE OUTPUT ${PROJECT_BINARY_DIR}/generated/${name}.inc CONTENT "${text}" @ONLY)
  target_include_directories(${target} PRIVATE ${PROJECT_BINARY_DIR}/generated)
endfunction()
