# thirstline_copyright_file(FILE debian packages…): the project's copyright, and the notices required by the
# libraries whose code becomes part of its programs, as Debian's packages have them.
set(copyright_notice
    "Thirstline ${PROJECT_VERSION}\n"
    "\n"
    "Copyright: Thirstline developers\n"
    "License: Apache-2.0; its text is in the file LICENSE beside this one, and in\n"
    "/usr/share/common-licenses/Apache-2.0 on Debian.\n")
list(JOIN copyright_notice "" copyright_notice)

function(thirstline_copyright_file file)
    set(text "${copyright_notice}")
    if(ARGN)
        string(APPEND text "\nIts programs contain code of the following libraries.\n")
    endif()
    foreach(library ${ARGN})
        set(notice /usr/share/doc/${library}/copyright)
        if(EXISTS ${notice})
            file(READ ${notice} notice_text)
            string(APPEND text "\n\n==== ${library} ====\n\n${notice_text}")
        else()
            message(STATUS "${notice} is not there, so packages will lack it")
        endif()
    endforeach()
    file(WRITE ${file}.new "${text}")
    file(COPY_FILE ${file}.new ${file} ONLY_IF_DIFFERENT)
endfunction()

set(code_of_both libcli11-dev nlohmann-json3-dev libexpected-dev libcsv-dev nettle-dev
    libsodium-dev libtomlplusplus-dev)
