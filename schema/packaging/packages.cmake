# Debian packages and a tar archive, made with CPack:
#
#   cmake -S . -B build/packages -DCMAKE_INSTALL_PREFIX=/usr && cmake --build build/packages
#   (cd build/packages && cpack -G DEB && cpack -G TGZ)
#
# The components runtime, library, development, python and builder become the packages thirstline-lookup,
# libthirstline<major>, libthirstline-dev, python3-thirstline and thirstline-builder. dpkg-shlibdeps finds their dependencies from
# the programs.
set(library_package libthirstline${PROJECT_VERSION_MAJOR})
include(${CMAKE_CURRENT_LIST_DIR}/licences.cmake)

# thirstline_licences(COMPONENT PACKAGE debian packages…): the licence and the copyright file of a package.
function(thirstline_licences component package)
    set(file ${CMAKE_BINARY_DIR}/packaging/${package}/copyright)
    thirstline_copyright_file(${file} ${ARGN})
    install(FILES ${file} ${CMAKE_SOURCE_DIR}/LICENSE
            DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${package} COMPONENT ${component})
endfunction()

thirstline_licences(runtime thirstline-lookup ${code_of_both})
set(code_of_library nlohmann-json3-dev libexpected-dev libcsv-dev nettle-dev libtomlplusplus-dev)
thirstline_licences(library ${library_package} ${code_of_library})
thirstline_licences(development libthirstline-dev ${code_of_library})

set(CPACK_PACKAGE_NAME thirstline)
set(CPACK_PACKAGE_VENDOR "Thirstline developers")
set(CPACK_PACKAGE_CONTACT "Thirstline developers <thirstline@example.org>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_RESOURCE_FILE_LICENSE ${CMAKE_SOURCE_DIR}/LICENSE)
set(CPACK_STRIP_FILES ON)
set(CPACK_VERBATIM_VARIABLES ON)
set(CPACK_COMPONENTS_ALL runtime library development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)

set(CPACK_DEBIAN_RUNTIME_PACKAGE_NAME thirstline-lookup)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SECTION science)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SUGGESTS thirstline-builder)
set(CPACK_DEBIAN_RUNTIME_DESCRIPTION
    "monthly reference evapotranspiration and rain of any site\n\
thirstline-lookup reports monthly reference evapotranspiration (ETo) and rainfall,\n\
offline, for a site given by coordinates or postal code, each with its source and\n\
standard error, and irrigation schedules. It reads one file made by\n\
thirstline-builder.")

set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME ${library_package})
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libs)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_LIBRARY_DESCRIPTION
    "monthly reference evapotranspiration and rain, as a library\n\
The numbers of thirstline-lookup for programs in C and C++, from the same file.")

set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libthirstline-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
    "${library_package} (= ${PROJECT_VERSION}), libsqlite3-dev")
set(CPACK_DEBIAN_DEVELOPMENT_DESCRIPTION
    "monthly reference evapotranspiration and rain: headers and static library\n\
What is needed to build programs with ${library_package}: headers for C and C++, the\n\
static library, files for CMake and pkg-config, and examples.")

if(TARGET python_package)
    list(APPEND CPACK_COMPONENTS_ALL python)
    thirstline_licences(python python3-thirstline)
    set(CPACK_DEBIAN_PYTHON_PACKAGE_NAME python3-thirstline)
    set(CPACK_DEBIAN_PYTHON_PACKAGE_SECTION python)
    set(CPACK_DEBIAN_PYTHON_PACKAGE_ARCHITECTURE all)
    set(CPACK_DEBIAN_PYTHON_PACKAGE_DEPENDS
        "python3 (>= 3.9), ${library_package} (>= ${PROJECT_VERSION})")
    set(CPACK_DEBIAN_PYTHON_PACKAGE_RECOMMENDS python3-numpy)
    set(CPACK_DEBIAN_PYTHON_PACKAGE_SUGGESTS python3-matplotlib)
    set(CPACK_DEBIAN_PYTHON_PACKAGE_CONTROL_EXTRA
        ${CMAKE_SOURCE_DIR}/lookup/python/packaging/postinst
        ${CMAKE_SOURCE_DIR}/lookup/python/packaging/prerm)
    set(CPACK_DEBIAN_PYTHON_DESCRIPTION
        "monthly reference evapotranspiration and rain, for Python\n\
The numbers of thirstline-lookup for programs in Python: a site, a postal code, or\n\
many sites as NumPy arrays.")
endif()

if(THIRSTLINE_BUILD_BUILDER)
    list(APPEND CPACK_COMPONENTS_ALL builder)
    thirstline_licences(builder thirstline-builder ${code_of_both}
        libnanoflann-dev libeigen3-dev)
    set(CPACK_DEBIAN_BUILDER_PACKAGE_NAME thirstline-builder)
    set(CPACK_DEBIAN_BUILDER_PACKAGE_SECTION science)
    set(CPACK_DEBIAN_BUILDER_PACKAGE_SHLIBDEPS ON)
    set(CPACK_DEBIAN_BUILDER_PACKAGE_RECOMMENDS thirstline-lookup)
    set(CPACK_DEBIAN_BUILDER_PACKAGE_SUGGESTS python3)
    set(CPACK_DEBIAN_BUILDER_DESCRIPTION
        "makes files of monthly reference evapotranspiration and rain\n\
thirstline-builder reads open climate normals, grids as well as stations, checks them,\n\
computes reference evapotranspiration, and writes one compact file with its sources,\n\
licenses and standard errors, from which thirstline-lookup answers.")
endif()

include(CPack)
