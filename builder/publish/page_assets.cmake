# The page's files are embedded in the builder: those of the target `page_assets`, whose property
# PAGE_ASSETS_FOLDER is their folder, or those of the folder in THIRSTLINE_PAGE_ASSETS. Without either, the
# program is built without them, and `publish` reports that.
#   thirstline_embed_page_assets(library)
set(THIRSTLINE_PAGE_ASSETS "" CACHE PATH "A folder with the page's files, instead of those built")

function(thirstline_embed_page_assets library)
    set(folder "${THIRSTLINE_PAGE_ASSETS}")
    if(NOT folder AND TARGET page_assets)
        get_target_property(folder page_assets PAGE_ASSETS_FOLDER)
    endif()
    set(THIRSTLINE_INCLUDED_ASSETS "")
    set(THIRSTLINE_RETURN_ASSETS "    return nullptr;")
    set(files "")
    if(folder)
        set(fields "")
        foreach(pair index_template:index.template.html
                     service_worker_template:service-worker.template.js page_script:page.js
                     reader:reader.wasm demand:demand.wasm)
            string(REPLACE ":" ";" pair ${pair})
            list(GET pair 0 name)
            list(GET pair 1 file)
            list(APPEND files ${folder}/${file})
            set(symbol thirstline_page_${name})
            string(APPEND THIRSTLINE_INCLUDED_ASSETS
"asm(\".section .rodata\\n\"
    \".global ${symbol}_begin\\n${symbol}_begin:\\n\"
    \".incbin \\\"${folder}/${file}\\\"\\n\"
    \".global ${symbol}_end\\n${symbol}_end:\\n\"
    \".byte 0\\n.previous\\n\");
extern \"C\" const char ${symbol}_begin[];
extern \"C\" const char ${symbol}_end[];
")
            string(APPEND fields
"        {${symbol}_begin, static_cast<std::size_t>(${symbol}_end - ${symbol}_begin)},
")
        endforeach()
        set(THIRSTLINE_RETURN_ASSETS "    static const PageAssets kAssets{
${fields}    };
    return &kAssets;")
    else()
        message(STATUS "No page's files: thirstline-builder will not publish")
    endif()
    set(source ${CMAKE_BINARY_DIR}/generated/builder/publish/page_assets.cpp)
    configure_file(${CMAKE_SOURCE_DIR}/builder/publish/page_assets.cpp.in ${source} @ONLY)
    set_source_files_properties(${source} PROPERTIES
        OBJECT_DEPENDS "${files}" SKIP_UNITY_BUILD_INCLUSION ON)
    target_sources(${library} PRIVATE ${source})
    if(NOT THIRSTLINE_PAGE_ASSETS AND TARGET page_assets)
        add_dependencies(${library} page_assets)
    endif()
endfunction()
