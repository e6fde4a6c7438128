# Compiler settings of all targets of the project.
#
#   thirstline_library(NAME SOURCES files… [PUBLIC libraries…] [PRIVATE libraries…])
#   thirstline_compiled(TARGET)      the same for a target added in another way
#   thirstline_embedded_texts(TARGET header files…)     SQL and style sheets as functions

# Warnings, and arithmetic that is the same on every processor: no fused multiply-add, which only some have.
add_library(thirstline_settings INTERFACE)
target_include_directories(thirstline_settings INTERFACE ${CMAKE_SOURCE_DIR} ${CMAKE_BINARY_DIR}/generated)
target_compile_options(thirstline_settings INTERFACE
    -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wno-sign-conversion -ffp-contract=off
    # GCC 12 reports overlapping copies in std::string's operator+ where there are none (GCC bug 105651).
    $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict>
    $<$<BOOL:${THIRSTLINE_WARNINGS_ARE_ERRORS}>:-Werror>)
if(THIRSTLINE_SANITIZE)
    target_compile_options(thirstline_settings INTERFACE
        -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
        # GCC 12 reports parts of std::regex as uninitialised in instrumented code (GCC bug 105562).
        $<$<CXX_COMPILER_ID:GNU>:-Wno-maybe-uninitialized>)
    target_link_options(thirstline_settings INTERFACE -fsanitize=address,undefined)
endif()
if(THIRSTLINE_BUILD_FUZZERS)
    target_compile_options(thirstline_settings INTERFACE
        -fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer)
    target_link_options(thirstline_settings INTERFACE -fsanitize=address,undefined)
endif()

function(thirstline_compiled target)
    target_link_libraries(${target} PRIVATE thirstline_settings)
    if(THIRSTLINE_UNITY_BUILD)
        set_target_properties(${target} PROPERTIES UNITY_BUILD ON UNITY_BUILD_BATCH_SIZE 24)
        # GCC treats an included file as a header, whose types must not have members from an unnamed
        # namespace.
        target_compile_options(${target} PRIVATE
            $<$<COMPILE_LANG_AND_ID:CXX,GNU>:-Wno-subobject-linkage>)
    endif()
endfunction()

# Code that is also part of libthirstline is position-independent and hides its symbols, and unused functions
# can be dropped. (GCC's unique symbols would stay visible despite the linker's options.)
# The other libraries are compiled the same way, so that all share one precompiled header.
function(thirstline_library name)
    cmake_parse_arguments(arg "" "" "SOURCES;PUBLIC;PRIVATE" ${ARGN})
    add_library(${name} STATIC ${arg_SOURCES})
    set_target_properties(${name} PROPERTIES
        POSITION_INDEPENDENT_CODE ON
        CXX_VISIBILITY_PRESET hidden
        VISIBILITY_INLINES_HIDDEN ON)
    target_compile_options(${name} PRIVATE -ffunction-sections -fdata-sections
                           $<$<CXX_COMPILER_ID:GNU>:-fno-gnu-unique>)
    target_link_libraries(${name} PUBLIC ${arg_PUBLIC} PRIVATE ${arg_PRIVATE})
    thirstline_compiled(${name})
endfunction()

# Text files become functions that the header declares: page_style.css as page_style_css().
function(thirstline_embedded_texts target header)
    list(TRANSFORM ARGN PREPEND ${CMAKE_CURRENT_SOURCE_DIR}/ OUTPUT_VARIABLE files)
    get_filename_component(name ${header} NAME_WE)
    set(source ${CMAKE_CURRENT_BINARY_DIR}/${name}_texts.cpp)
    set(script ${CMAKE_SOURCE_DIR}/schema/files/embed_texts.cmake)
    add_custom_command(
        OUTPUT ${source}
        COMMAND ${CMAKE_COMMAND} -DOUTPUT=${source} -DHEADER=${header} "-DFILES=${files}" -P ${script}
        DEPENDS ${files} ${script}
        VERBATIM)
    set_source_files_properties(${source} PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON)
    target_sources(${target} PRIVATE ${source})
endfunction()
