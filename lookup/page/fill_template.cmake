# Inserts the style into the page's template, and its hash into the page's content security policy:
#   cmake -D TEMPLATE=… -D STYLE=… -D OUTPUT=… -P fill_template.cmake
cmake_minimum_required(VERSION 3.25)
file(READ ${TEMPLATE} template)
file(READ ${STYLE} style)
string(STRIP "${style}" style)

# The policy needs hashes in Base64, and CMake gives hexadecimal: three hexadecimal digits are two Base64
# ones.
string(SHA256 hash "${style}")
set(digits "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/")
string(APPEND hash "00") # to a multiple of three; 43 digits contain all of it
set(base64 "")
foreach(at RANGE 0 63 3)
    string(SUBSTRING ${hash} ${at} 3 three)
    math(EXPR high "0x${three} >> 6")
    math(EXPR low "0x${three} & 63")
    string(SUBSTRING ${digits} ${high} 1 first)
    string(SUBSTRING ${digits} ${low} 1 second)
    string(APPEND base64 ${first}${second})
endforeach()
string(SUBSTRING ${base64} 0 43 base64)

string(REPLACE "@STYLE_SHA256@" "${base64}=" template "${template}")
string(REPLACE "@STYLE@" "${style}" template "${template}")
file(WRITE ${OUTPUT} "${template}")
