#include "lookup/page_core/page_core.h"

#include <cstdlib>
#include <cstring>
#include <string>

#include "lookup/page_core/page_answer.hpp"

char* page_core_allocate(size_t bytes) {
    return static_cast<char*>(std::malloc(bytes));
}

void page_core_release(char* text) {
    std::free(text);
}

char* page_core_demand(const char* request, size_t bytes) {
    const std::string answer = thirstline::page_answer({request, bytes});
    char* text = page_core_allocate(answer.size() + 1);
    if (text == nullptr) std::abort();
    std::memcpy(text, answer.c_str(), answer.size() + 1);
    return text;
}

size_t page_core_text_bytes(const char* text) {
    return std::strlen(text);
}
