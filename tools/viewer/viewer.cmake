# The page of the report and of the live view, built with npm outside the source tree, so that several
# builds of one checkout do not meet. Makes ${PROJECT_BINARY_DIR}/page/report.html and page/live/.
option(KERBRAY_VIEWER "Build the page of `kerbray report` and `kerbray serve` (needs nodejs 18 and npm)" ON)
if(NOT KERBRAY_VIEWER OR KERBRAY_FUZZ)
  return()
endif()

find_program(NODE NAMES node nodejs)
find_program(NPM npm)
if(NOT NODE OR NOT NPM)
  message(FATAL_ERROR "nodejs and npm build the page of the report: run tools/install_packages.sh, "
                      "or leave the page out with -D KERBRAY_VIEWER=OFF")
endif()

set(page_work ${PROJECT_BINARY_DIR}/page_work)  # mirrors the source tree: tools/viewer, tests/browser
set(page_viewer ${page_work}/tools/viewer)
set(page_folder ${PROJECT_BINARY_DIR}/page)
set(viewer ${PROJECT_SOURCE_DIR}/tools/viewer)
file(GLOB_RECURSE page_sources CONFIGURE_DEPENDS ${viewer}/src/* ${PROJECT_SOURCE_DIR}/tests/browser/*)
list(APPEND page_sources ${viewer}/index.html ${viewer}/build.mjs ${viewer}/test.mjs ${viewer}/tsconfig.json)

add_custom_command(OUTPUT ${page_work}/packages.stamp
  COMMAND ${CMAKE_COMMAND} -E make_directory ${page_viewer}
  COMMAND ${CMAKE_COMMAND} -E copy ${viewer}/package.json ${viewer}/package-lock.json ${page_viewer}
  # No script of a package is run, and no browser fetched.
  COMMAND ${CMAKE_COMMAND} -E chdir ${page_viewer} ${CMAKE_COMMAND} -E env PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD=1
          ${NPM} ci --ignore-scripts --no-audit --no-fund --loglevel=error
  COMMAND ${CMAKE_COMMAND} -E touch ${page_work}/packages.stamp
  DEPENDS ${viewer}/package.json ${viewer}/package-lock.json
  COMMENT "Fetching the page's packages" VERBATIM)

add_custom_command(OUTPUT ${page_folder}/report.html ${page_folder}/live/index.html ${page_folder}/live/page.js ${page_folder}/live/page.css
  COMMAND ${CMAKE_COMMAND} -D FROM=${PROJECT_SOURCE_DIR} -D TO=${page_work} -P ${viewer}/copy_sources.cmake
  COMMAND ${CMAKE_COMMAND} -E chdir ${page_viewer} ${NODE} node_modules/typescript/bin/tsc --noEmit
  COMMAND ${CMAKE_COMMAND} -E chdir ${page_viewer} ${NODE} build.mjs ${page_folder}
  DEPENDS ${page_work}/packages.stamp ${page_sources} ${viewer}/copy_sources.cmake
  COMMENT "Building the page" VERBATIM)
add_custom_target(page ALL DEPENDS ${page_folder}/report.html)

install(DIRECTORY ${page_folder}/ DESTINATION share/kerbray/page)

if(KERBRAY_TESTS)
  enable_testing()
  add_test(NAME browser.page COMMAND ${NODE} test.mjs ${page_folder} WORKING_DIRECTORY ${page_viewer})
  # Alone, as one of its tests has an eye on the clock.
  set_tests_properties(browser.page PROPERTIES LABELS browser TIMEOUT 1200 RUN_SERIAL TRUE
    FIXTURES_REQUIRED demo_report ENVIRONMENT
    "KERBRAY_REPORT=${PROJECT_BINARY_DIR}/demo_report/report.html;KERBRAY_PROGRAM=$<TARGET_FILE:kerbray>;KERBRAY_SITE=${PROJECT_SOURCE_DIR}/scenes/demo_hill_town")
  # The same checks on a report that the program wrote.
  add_test(NAME browser.demo_report COMMAND kerbray report ${PROJECT_SOURCE_DIR}/scenes/demo_hill_town
           --at ${PROJECT_SOURCE_DIR}/scenes/demo_hill_town/points.csv -o ${PROJECT_BINARY_DIR}/demo_report --overwrite -q)
  set_tests_properties(browser.demo_report PROPERTIES LABELS browser FIXTURES_SETUP demo_report)
endif()
