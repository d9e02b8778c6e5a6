include_guard(GLOBAL)

# Real open data is read from beside the checkout; tests that need it say so and are skipped where it
# is absent.
set(KERBRAY_OPEN_DATA "${PROJECT_SOURCE_DIR}/../shared/data" CACHE PATH "Folder of open test data")
# In a header of its own, so that a compiler cache shares between checkouts all that does not ask.
file(GENERATE OUTPUT ${PROJECT_BINARY_DIR}/generated/tests/places.h CONTENT
"// Where this checkout's data and program lie.
#pragma once
#define KERBRAY_OPEN_DATA \"${KERBRAY_OPEN_DATA}\"
#define KERBRAY_SCENES \"${PROJECT_SOURCE_DIR}/scenes\"
#define KERBRAY_TESTS_FOLDER \"${PROJECT_SOURCE_DIR}/tests\"
#define KERBRAY_PROGRAM \"$<TARGET_FILE:kerbray>\"
")
