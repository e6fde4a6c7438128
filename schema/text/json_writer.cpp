#include "schema/text/json_writer.hpp"

#include "schema/text/json_text.hpp"
#include "schema/text/rounding.hpp"

namespace thirstline {
void JsonWriter::new_line() {
    if (layout_ == JsonLayout::one_line) return;
    out_.push_back('\n');
    out_.append(static_cast<std::size_t>(2 * depth_), ' ');
}

void JsonWriter::begin_value() {
    if (follows_name_) {
        follows_name_ = false;
        return;
    }
    if (depth_ == 0) return;
    if (!is_first_) out_.push_back(',');
    is_first_ = false;
    new_line();
}

void JsonWriter::name(std::string_view name) {
    begin_value();
    out_.push_back('"');
    out_ += name;
    out_ += layout_ == JsonLayout::one_line ? "\":" : "\": ";
    follows_name_ = true;
}

void JsonWriter::open(char bracket) {
    begin_value();
    out_.push_back(bracket);
    ++depth_;
    is_first_ = true;
}

void JsonWriter::close(char bracket) {
    --depth_;
    if (!is_first_) new_line();
    out_.push_back(bracket);
    is_first_ = false;
}

void JsonWriter::raw(std::string_view json) {
    begin_value();
    out_ += json;
}

void JsonWriter::integer(std::int64_t value) {
    raw(std::to_string(value));
}

void JsonWriter::number(double value, int decimals) {
    begin_value();
    append_fixed(out_, value, decimals);
}

void JsonWriter::number_or_null(const std::optional<double>& value, int decimals) {
    value ? number(*value, decimals) : null();
}

void JsonWriter::degrees(std::int32_t e7) {
    begin_value();
    append_degrees(out_, e7);
}

void JsonWriter::text(std::string_view value) {
    begin_value();
    append_json_text(out_, value);
}

void JsonWriter::text_or_null(const std::optional<std::string>& value) {
    value ? text(*value) : null();
}

}  // namespace thirstline
