# Looks for a clang that can compile this project's C++ to WebAssembly. Sets
#   THIRSTLINE_HAS_WASM_TOOL_CHAIN   ON or OFF, with a message; cached once it is ON
#   THIRSTLINE_NO_WASM_REASON        a clause, if it is OFF
#   THIRSTLINE_WASM_CLANG            the compiler's program
#   THIRSTLINE_WASM_FLAGS            for compiling and linking
#   THIRSTLINE_WASM_CXX_FLAGS        for compiling C++
#   THIRSTLINE_WASM_LINK_FLAGS
# If clang finds wasm-opt (Debian's package binaryen), it uses it to make the module smaller.
find_program(THIRSTLINE_WASM_CLANG NAMES clang clang-14)
find_program(THIRSTLINE_WASM_LD NAMES wasm-ld wasm-ld-14)
find_path(THIRSTLINE_TL_EXPECTED_INCLUDE tl/expected.hpp)
mark_as_advanced(THIRSTLINE_WASM_CLANG THIRSTLINE_WASM_LD THIRSTLINE_TL_EXPECTED_INCLUDE)

# Only tl::expected: the other headers in its folder belong to this machine's C library.
set(wasm_headers ${CMAKE_CURRENT_BINARY_DIR}/headers)
if(THIRSTLINE_TL_EXPECTED_INCLUDE)
    file(MAKE_DIRECTORY ${wasm_headers})
    file(CREATE_LINK ${THIRSTLINE_TL_EXPECTED_INCLUDE}/tl ${wasm_headers}/tl SYMBOLIC)
endif()

set(THIRSTLINE_WASM_FLAGS --target=wasm32-wasi -Oz -flto)
set(THIRSTLINE_WASM_CXX_FLAGS -std=c++${CMAKE_CXX_STANDARD} -fno-exceptions -fno-rtti
    -isystem ${wasm_headers})
# A stack overflow ends the instance instead of overwriting data.
set(THIRSTLINE_WASM_LINK_FLAGS -mexec-model=reactor
    -Wl,--strip-all,--stack-first,-z,stack-size=262144)

function(thirstline_find_wasm_tool_chain)
    set(packages "Debian has it in clang, lld, libc++-14-dev-wasm32, libc++abi-14-dev-wasm32, \
wasi-libc and libclang-rt-14-dev-wasm32")
    set(log "")
    if(NOT THIRSTLINE_WASM_CLANG OR NOT THIRSTLINE_WASM_LD)
        set(reason "there is no clang with wasm-ld (${packages})")
    else()
        set(probe ${CMAKE_CURRENT_BINARY_DIR}/probe.cpp)
        file(WRITE ${probe} "#include <string>\n#include <tl/expected.hpp>\n"
             "int main() { return tl::expected<std::string, int>(\"\")->empty() ? 0 : 1; }\n")
        execute_process(
            COMMAND ${THIRSTLINE_WASM_CLANG} ${THIRSTLINE_WASM_FLAGS} ${THIRSTLINE_WASM_CXX_FLAGS}
                    ${probe} -lc++ -lc++abi -o ${CMAKE_CURRENT_BINARY_DIR}/probe.wasm
            RESULT_VARIABLE status OUTPUT_QUIET ERROR_VARIABLE log)
        if(status EQUAL 0)
            set(THIRSTLINE_HAS_WASM_TOOL_CHAIN ON CACHE INTERNAL "")
            return()
        endif()
        string(REGEX MATCH "[^\n]*error[^\n]*" log "${log}")
        set(reason "${THIRSTLINE_WASM_CLANG} makes no program for wasm32-wasi (${packages}): ${log}")
    endif()
    set(THIRSTLINE_HAS_WASM_TOOL_CHAIN OFF PARENT_SCOPE)
    set(THIRSTLINE_NO_WASM_REASON "${reason}" PARENT_SCOPE)
    message(STATUS "No page_core.wasm: ${reason}")
endfunction()

if(NOT THIRSTLINE_HAS_WASM_TOOL_CHAIN)
    thirstline_find_wasm_tool_chain()
endif()
