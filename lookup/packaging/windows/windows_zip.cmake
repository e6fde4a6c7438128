# The zip for Windows, `cpack -G ZIP`: the program, how to use it, and the licences.
include(${CMAKE_SOURCE_DIR}/schema/packaging/licences.cmake)

thirstline_copyright_file(${CMAKE_BINARY_DIR}/packaging/copyright.txt
    ${code_of_both} libsqlite3-dev mingw-w64-x86-64-dev)
configure_file(${CMAKE_CURRENT_LIST_DIR}/instructions.txt.in ${CMAKE_BINARY_DIR}/packaging/README.txt
    @ONLY NEWLINE_STYLE CRLF)
install(TARGETS thirstline-lookup RUNTIME DESTINATION . COMPONENT windows)
install(FILES ${CMAKE_BINARY_DIR}/packaging/README.txt ${CMAKE_BINARY_DIR}/packaging/copyright.txt
        DESTINATION . COMPONENT windows)
install(FILES ${CMAKE_SOURCE_DIR}/LICENSE RENAME LICENSE.txt DESTINATION . COMPONENT windows)

set(CPACK_PACKAGE_NAME thirstline-lookup)
set(CPACK_PACKAGE_VENDOR "Thirstline developers")
set(CPACK_PACKAGE_FILE_NAME thirstline-lookup-${PROJECT_VERSION}-windows-x86_64)
set(CPACK_STRIP_FILES ON)
set(CPACK_VERBATIM_VARIABLES ON)
set(CPACK_COMPONENTS_ALL windows)
set(CPACK_ARCHIVE_COMPONENT_INSTALL ON)
set(CPACK_COMPONENTS_GROUPING ALL_COMPONENTS_IN_ONE)
include(CPack)
