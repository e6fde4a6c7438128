# thirstline_program_reference(PROGRAM COMMANDS header:function LIBRARY library FRAME file COMPONENT
# component): the man page and the completions of a program, generated from its commands and installed with
# it.
find_program(THIRSTLINE_GZIP gzip)
mark_as_advanced(THIRSTLINE_GZIP)

# Manual pages are installed compressed if gzip is available, with the same bytes every time.
function(thirstline_install_man_page page section component)
    get_filename_component(name ${page} NAME)
    set(installed ${page})
    if(THIRSTLINE_GZIP)
        set(installed ${CMAKE_CURRENT_BINARY_DIR}/${name}.gz)
        add_custom_command(OUTPUT ${installed}
            COMMAND ${THIRSTLINE_GZIP} -9 -n -c ${page} > ${installed}
            DEPENDS ${page} VERBATIM)
        add_custom_target(${name}-compressed ALL DEPENDS ${installed})
    endif()
    install(FILES ${installed} DESTINATION ${CMAKE_INSTALL_MANDIR}/man${section}
            COMPONENT ${component})
endfunction()

function(thirstline_program_reference program)
    cmake_parse_arguments(arg "" "COMMANDS;LIBRARY;FRAME;COMPONENT" "" ${ARGN})
    string(REGEX REPLACE ":.*" "" header ${arg_COMMANDS})
    string(REGEX REPLACE ".*:" "" with_commands ${arg_COMMANDS})
    set(main ${CMAKE_CURRENT_BINARY_DIR}/${program}-reference.cpp)
    file(CONFIGURE OUTPUT ${main} CONTENT [[
#include "@header@"
#include "schema/command_line/reference/write_reference.hpp"

int main(int argc, char** argv) {
    return thirstline::@with_commands@(thirstline::reference_status, argc, argv);
}
]] @ONLY)
    add_executable(${program}-reference ${main})
    thirstline_compiled(${program}-reference)
    target_link_libraries(${program}-reference PRIVATE
        ${arg_LIBRARY} thirstline_command_line_reference)

    set(folder ${CMAKE_BINARY_DIR}/reference)
    file(MAKE_DIRECTORY ${folder})
    set(written ${folder}/${program}.1 ${folder}/${program}.bash ${folder}/_${program}
                ${folder}/${program}.fish)
    add_custom_command(OUTPUT ${written}
        COMMAND ${program}-reference ${folder} ${arg_FRAME}
        DEPENDS ${program}-reference ${arg_FRAME} VERBATIM)
    add_custom_target(${program}-reference-pages ALL DEPENDS ${written})

    thirstline_install_man_page(${folder}/${program}.1 1 ${arg_COMPONENT})
    install(FILES ${folder}/${program}.bash RENAME ${program}
            DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions
            COMPONENT ${arg_COMPONENT})
    install(FILES ${folder}/_${program} COMPONENT ${arg_COMPONENT}
            DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions)
    install(FILES ${folder}/${program}.fish COMPONENT ${arg_COMPONENT}
            DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)
endfunction()
