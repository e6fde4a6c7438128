// Writes JSON directly into a string, one member after another, with numbers rounded in decimal.
//
// Why not a tree of nlohmann's values: `batch` writes answers by the hundred thousand, and building
// and printing trees made the whole run take three and a half times as long. Texts are escaped by
// json_text.hpp, which replaces bytes that are not UTF-8 with U+FFFD.
//
// The caller opens, names and closes in the right order; this is not checked.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace thirstline {

enum class JsonLayout {
    indented,  ///< by two blanks
    one_line,
};

class JsonWriter {
  public:
    JsonWriter(std::string& out, JsonLayout layout) : out_(out), layout_(layout) {}

    void open_object() { open('{'); }
    void close_object() { close('}'); }
    void open_array() { open('['); }
    void close_array() { close(']'); }

    /// The name of an object's next member; it needs no escaping.
    void name(std::string_view name);

    void null() { raw("null"); }
    void boolean(bool value) { raw(value ? "true" : "false"); }
    void integer(std::int64_t value);
    void number(double value, int decimals);
    void number_or_null(const std::optional<double>& value, int decimals);
    void degrees(std::int32_t e7);
    void text(std::string_view value);
    void text_or_null(const std::optional<std::string>& value);

  private:
    void open(char bracket);
    void close(char bracket);
    void begin_value();
    void raw(std::string_view json);
    void new_line();

    std::string& out_;
    JsonLayout layout_;
    int depth_ = 0;
    bool is_first_ = true;  ///< of the current object or array
    bool follows_name_ = false;
};

}  // namespace thirstline
