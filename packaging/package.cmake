# What `cmake --install` puts where, and the Debian package that `cpack -G DEB` makes from it.
include(GNUInstallDirs)

if(TARGET stanch)
    install(TARGETS stanch RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
endif()

set(STANCH_MAN_GZ ${CMAKE_BINARY_DIR}/stanch.1.gz)
find_program(GZIP_PROGRAM gzip REQUIRED)
# -n keeps name and time out of the file: same sources, same bytes.
add_custom_command(OUTPUT ${STANCH_MAN_GZ}
    COMMAND ${GZIP_PROGRAM} -9nc ${CMAKE_CURRENT_LIST_DIR}/stanch.1 > ${STANCH_MAN_GZ}
    DEPENDS ${CMAKE_CURRENT_LIST_DIR}/stanch.1)
add_custom_target(man ALL DEPENDS ${STANCH_MAN_GZ})

install(FILES ${STANCH_MAN_GZ} DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES README.md ARCHITECTURE.md DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES ${CMAKE_CURRENT_LIST_DIR}/copyright DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(DIRECTORY docs/ DESTINATION ${CMAKE_INSTALL_DOCDIR}/docs)
install(DIRECTORY examples/ DESTINATION ${CMAKE_INSTALL_DOCDIR}/examples)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME stanch)
set(CPACK_PACKAGE_VENDOR stanch)
set(CPACK_PACKAGE_CONTACT "stanch maintainers <maintainers@stanch.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "Sealing leaking cracks in concrete: survey to plan, price and document")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
# The shared libraries by what the binary links (dpkg-shlibdeps of dpkg-dev, with file); fonts are found at run time and
# have to be named. Without the two tools the package is still made, and says nothing of libraries.
find_program(SHLIBDEPS_PROGRAM dpkg-shlibdeps)
find_program(FILE_PROGRAM file)
if(SHLIBDEPS_PROGRAM AND FILE_PROGRAM)
    set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
endif()
set(CPACK_DEBIAN_PACKAGE_DEPENDS "fonts-dejavu-core, fonts-noto-core, libcholmod3, libopenblas0-pthread")
include(CPack)
