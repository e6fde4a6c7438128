# Compiles thirstline-lookup for 64-bit Windows on Debian, against what windows-libraries.sh has made:
#
#   sh lookup/packaging/windows/windows-libraries.sh build/windows-libraries
#   cmake -S . -B build/windows -G Ninja -DTHIRSTLINE_BUILD_BUILDER=OFF -DTHIRSTLINE_BUILD_TESTS=OFF
#         --toolchain "$PWD/lookup/packaging/windows/windows-toolchain.cmake"
#   ninja -C build/windows && (cd build/windows && cpack -G ZIP)
set(CMAKE_SYSTEM_NAME Windows)
set(CMAKE_SYSTEM_PROCESSOR x86_64)
# "posix": with the standard library's threads.
set(CMAKE_C_COMPILER x86_64-w64-mingw32-gcc-posix)
set(CMAKE_CXX_COMPILER x86_64-w64-mingw32-g++-posix)
set(CMAKE_EXE_LINKER_FLAGS_INIT -static)

# Nothing for Linux is found, neither headers nor libraries.
get_filename_component(thirstline_root ${CMAKE_CURRENT_LIST_DIR}/../../.. ABSOLUTE)
set(CMAKE_FIND_ROOT_PATH ${thirstline_root}/build/windows-libraries)
set(CMAKE_FIND_ROOT_PATH_MODE_PROGRAM NEVER)
set(CMAKE_FIND_ROOT_PATH_MODE_LIBRARY ONLY)
set(CMAKE_FIND_ROOT_PATH_MODE_INCLUDE ONLY)
set(CMAKE_FIND_ROOT_PATH_MODE_PACKAGE ONLY)
