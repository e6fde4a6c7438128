// How every function of the project reports failure: as a value.
//
// A Result<T> holds a T or an Error. An Error is one sentence for the user (what is wrong, where,
// what to do), an optional hint, and a code that determines the exit status. "No data at this
// place" is not an error: look-up functions report it in their return value.
//
// Thread safety: plain values. No function here throws.
#pragma once

#include <string>
#include <string_view>
#include <tl/expected.hpp>
#include <type_traits>
#include <utility>

namespace thirstline {

enum class ErrorCode {
    usage,         ///< the command or one of its arguments cannot be understood
    bad_input,     ///< a recipe, grid, table or other input is wrong
    bad_database,  ///< a Thirstline file is damaged, of another kind or of an unsupported version
    io,            ///< the operating system refused: missing file, full disk, closed pipe
    no_data,       ///< a valid question without an answer, such as an unknown postal code
    internal,      ///< a bug in the program
    interrupted,   ///< the user stopped the program
};

struct Error {
    ErrorCode code = ErrorCode::internal;
    std::string message;  ///< one sentence, without a full stop at its end
    std::string hint;     ///< a suggestion; may be empty
};

template <class T>
using Result = tl::expected<T, Error>;

/// `return fail(ErrorCode::bad_input, "…");` in a function that returns any Result.
[[nodiscard]] inline tl::unexpected<Error> fail(ErrorCode code, std::string message,
                                                std::string hint = {}) {
    return tl::unexpected<Error>(Error{code, std::move(message), std::move(hint)});
}

/// Passes an error on, where TRY would lose something: `if (!r) return fail(r.error());`
[[nodiscard]] inline tl::unexpected<Error> fail(Error error) {
    return tl::unexpected<Error>(std::move(error));
}

/// Moves the value out of a result that holds one.
template <class T>
T taken(Result<T>& result) {
    if constexpr (!std::is_void_v<T>) return std::move(*result);
}

/// `auto rows = TRY(read_rows(path));` gives the value, or returns the error from the enclosing
/// function. Use it as a whole statement, initialiser or right-hand side, never inside a larger
/// expression.
#define TRY(...) THIRSTLINE_TRY_AS(THIRSTLINE_JOINED(tried, __COUNTER__), __VA_ARGS__)
#define THIRSTLINE_TRY_AS(tried, ...)                                    \
    __extension__({                                                      \
        auto tried = (__VA_ARGS__);                                      \
        if (!tried) return ::thirstline::fail(std::move(tried.error())); \
        ::thirstline::taken(tried);                                      \
    })
#define THIRSTLINE_JOINED(a, b) THIRSTLINE_JOINED_AS_IT_IS(a, b)
#define THIRSTLINE_JOINED_AS_IT_IS(a, b) a##b

/// The exit status of both programs for an error of this kind.
[[nodiscard]] constexpr int exit_status(ErrorCode code) {
    switch (code) {
        case ErrorCode::no_data:
            return 1;
        case ErrorCode::usage:
            return 2;
        case ErrorCode::bad_input:
            return 3;
        case ErrorCode::bad_database:
            return 4;
        case ErrorCode::io:
            return 5;
        case ErrorCode::internal:
            return 70;
        case ErrorCode::interrupted:
            return 130;
    }
    return 70;
}

}  // namespace thirstline
