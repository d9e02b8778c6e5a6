# Copies the page's sources FROM the source tree TO a mirror of it, without what a developer's own npm
# runs left there.
file(REMOVE_RECURSE ${TO}/tools/viewer/src ${TO}/tests/browser)
file(COPY ${FROM}/tools/viewer/src ${FROM}/tools/viewer/index.html ${FROM}/tools/viewer/build.mjs
          ${FROM}/tools/viewer/test.mjs ${FROM}/tools/viewer/tsconfig.json
     DESTINATION ${TO}/tools/viewer)
file(COPY ${FROM}/tests/browser DESTINATION ${TO}/tests)
