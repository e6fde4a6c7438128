// The one way in which every function of the project reports failure: as a value.
//
// A Result<T> holds a T or an Error. An Error is one sentence for the user (what is wrong, where,
// what to do), an optional hint, and a code that decides the exit status. "No data at this place"
// is not an error: functions that look something up say so in what they return.
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
    bad_database,  ///< a Thirstline file is damaged, foreign or of an unsupported version
    io,            ///< the operating system refused: missing file, full disk, closed pipe
    no_data,       ///< a valid question without an answer, such as an unknown postal code
    internal,      ///< a fault of the program itself
    interrupted,   ///< the user stopped the program
};

struct Error {
    ErrorCode code = ErrorCode::internal;
    std::string message;  ///< one sentence, without a full stop at its end
    std::string hint;     ///< what may help; may be empty
};

template <class T>
using Result = tl::expected<T, Error>;

/// `return fail(ErrorCode::bad_input, "…");` in a function that returns any Result.
[[nodiscard]] inline tl::unexpected<Error> fail(ErrorCode code, std::string message,
                                                std::string hint = {}) {
    return tl::unexpected<Error>(Error{code, std::move(message), std::move(hint)});
}

/// Hands an error on, where TRY would lose something: `if (!r) return fail(r.error());`
[[nodiscard]] inline tl::unexpected<Error> fail(Error error) {
    return tl::unexpected<Error>(std::move(error));
}

/// The value of a result that holds one, moved out of it.
template <class T>
T taken(Result<T>& result) {
    if constexpr (!std::is_void_v<T>) return std::move(*result);
}

/// `auto rows = TRY(read_rows(path));`: the value, or the enclosing function returns the error. A
/// statement or the whole of an initialiser or assignment, never a part of a larger expression.
#define TRY(...) THIRSTLINE_TRY_AS(THIRSTLINE_JOINED(tried, __COUNTER__), __VA_ARGS__)
#define THIRSTLINE_TRY_AS(tried, ...)                                    \
    __extension__({                                                      \
        auto tried = (__VA_ARGS__);                                      \
        if (!tried) return ::thirstline::fail(std::move(tried.error())); \
        ::thirstline::taken(tried);                                      \
    })
#define THIRSTLINE_JOINED(a, b) THIRSTLINE_JOINED_AS_IT_IS(a, b)
#define THIRSTLINE_JOINED_AS_IT_IS(a, b) a##b

/// The exit status that both programs give for an error of this kind.
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
