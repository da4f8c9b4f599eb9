# The page built into the program: bundled by web/build.mjs from a copy in the build folder, so that nothing is written
# into the sources; its libraries come by `npm ci`, once for each state of the lock file.
find_program(NODE_PROGRAM node)
find_program(NPM_PROGRAM npm)
find_program(WASM_CLANG_PROGRAM NAMES clang clang-14) # the mix calculator for the browser; needs wasm-ld beside it
if(NOT NODE_PROGRAM OR NOT NPM_PROGRAM OR NOT WASM_CLANG_PROGRAM)
    message(FATAL_ERROR "The page needs node (18 or newer), npm and clang with wasm-ld: packaging/packages-node.txt and \
packages-build.txt name them. Or build without the page: -DSTANCH_PAGE=OFF")
endif()

set(PAGE_FROM ${PROJECT_SOURCE_DIR}/web)
set(PAGE_COPY ${PROJECT_BINARY_DIR}/page)
set(PAGE_OUT ${PROJECT_BINARY_DIR}/web)
file(GLOB_RECURSE PAGE_SOURCES CONFIGURE_DEPENDS RELATIVE ${PAGE_FROM}
    ${PAGE_FROM}/src/*.js ${PAGE_FROM}/src/*.css ${PAGE_FROM}/src/*.svg ${PAGE_FROM}/src/*.wav ${PAGE_FROM}/src/*.json ${PAGE_FROM}/wasm/*)
file(GLOB PAGE_TOP CONFIGURE_DEPENDS RELATIVE ${PAGE_FROM}
    ${PAGE_FROM}/*.mjs ${PAGE_FROM}/*.html ${PAGE_FROM}/*.svg ${PAGE_FROM}/*.png ${PAGE_FROM}/*.webmanifest ${PAGE_FROM}/package*.json)
list(TRANSFORM PAGE_SOURCES PREPEND ${PAGE_FROM}/ OUTPUT_VARIABLE PAGE_INPUTS)
list(TRANSFORM PAGE_TOP PREPEND ${PAGE_FROM}/ OUTPUT_VARIABLE PAGE_TOP_INPUTS)
set(PAGE_C # what web/build.mjs compiles for the browser
    ${PROJECT_SOURCE_DIR}/src/takeoff/mix.c ${PROJECT_SOURCE_DIR}/src/takeoff/left.c
    ${PROJECT_SOURCE_DIR}/src/core/limits.c ${PROJECT_SOURCE_DIR}/src/core/units.c)

add_custom_command(OUTPUT ${PAGE_COPY}/npm.stamp
    COMMAND ${CMAKE_COMMAND} -E make_directory ${PAGE_COPY}/web
    COMMAND ${CMAKE_COMMAND} -E copy ${PAGE_FROM}/package.json ${PAGE_FROM}/package-lock.json ${PAGE_COPY}/web
    COMMAND ${CMAKE_COMMAND} -E chdir ${PAGE_COPY}/web
            ${NPM_PROGRAM} ci --omit=dev --ignore-scripts --no-audit --no-fund --no-update-notifier --loglevel=error
    COMMAND ${CMAKE_COMMAND} -E touch ${PAGE_COPY}/npm.stamp
    DEPENDS ${PAGE_FROM}/package-lock.json
    COMMENT "Fetching the libraries of the page" VERBATIM)

add_custom_command(OUTPUT ${PAGE_OUT}/assets.c ${PAGE_OUT}/assets.S
    COMMAND ${CMAKE_COMMAND} -E rm -rf ${PAGE_COPY}/web/src ${PAGE_COPY}/web/wasm ${PAGE_COPY}/src
    COMMAND ${CMAKE_COMMAND} -E create_symlink ${PROJECT_SOURCE_DIR}/src ${PAGE_COPY}/src
    COMMAND ${CMAKE_COMMAND} -E copy_directory ${PAGE_FROM}/src ${PAGE_COPY}/web/src
    COMMAND ${CMAKE_COMMAND} -E copy_directory ${PAGE_FROM}/wasm ${PAGE_COPY}/web/wasm
    COMMAND ${CMAKE_COMMAND} -E copy ${PAGE_TOP_INPUTS} ${PAGE_COPY}/web
    COMMAND ${NODE_PROGRAM} ${PAGE_COPY}/web/build.mjs --out ${PAGE_OUT} --clang ${WASM_CLANG_PROGRAM}
    DEPENDS ${PAGE_COPY}/npm.stamp ${PAGE_INPUTS} ${PAGE_TOP_INPUTS} ${PAGE_C}
    COMMENT "Bundling the page" VERBATIM)

set_source_files_properties(${PAGE_OUT}/assets.S PROPERTIES
    COMPILE_OPTIONS -I${PAGE_OUT} OBJECT_DEPENDS ${PAGE_OUT}/assets.c)
set(PAGE_TABLE ${PAGE_OUT}/assets.c ${PAGE_OUT}/assets.S)
