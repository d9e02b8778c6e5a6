# All rooms share one namespace: two types of one name in two headers are one type to the linker,
# which then takes either's functions for both.
#   cmake -D ROOT=<source tree> -P check_names.cmake
cmake_minimum_required(VERSION 3.25)
file(GLOB headers ${ROOT}/sim/*/*.h)
if(NOT headers)
  message(FATAL_ERROR "no headers under ${ROOT}/sim")
endif()
foreach(header ${headers})
  file(STRINGS ${header} lines REGEX "^(struct|class|enum class) [A-Z][A-Za-z0-9]*( final)?( :.*)? ?{")
  file(RELATIVE_PATH where ${ROOT} ${header})
  foreach(line ${lines})
    string(REGEX REPLACE "^(struct|class|enum class) ([A-Za-z0-9]+).*" "\\2" name "${line}")
    if(DEFINED first_${name})
      message(SEND_ERROR "${where}: '${name}' is a type of ${first_${name}} already; name it apart")
    endif()
    set(first_${name} ${where})
  endforeach()
endforeach()
