// All faults of a recipe, for one message in the order of its lines.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

class RecipeFaults {
  public:
    /// The faults that follow are of another table. Where keys depend on each other, only its first
    /// fault is kept: others often follow from it.
    void begin_table(bool keys_are_independent) {
        first_of_table_ = faults_.size();
        keys_are_independent_ = keys_are_independent;
    }
    [[nodiscard]] bool is_table_faulty() const;
    /// Whether another fault of the table would be kept.
    [[nodiscard]] bool keeps_more() const { return keys_are_independent_ || !is_table_faulty(); }

    /// The fault's number for `withdraw`; nothing if it was not kept.
    std::optional<std::size_t> add(std::uint32_t line, Error fault) {
        if (!keeps_more()) return std::nullopt;
        return add_always(line, std::move(fault));
    }
    /// Also where keys depend on each other.
    std::size_t add_always(std::uint32_t line, Error fault) {
        faults_.push_back({line, std::move(fault)});
        return faults_.size() - 1;
    }
    /// Another fault says the same better.
    void withdraw(std::size_t number) { faults_[number].is_withdrawn = true; }

    [[nodiscard]] bool empty() const;
    /// A fault a line, each with its hint. There must be one.
    [[nodiscard]] Error all() const;

  private:
    struct Fault {
        std::uint32_t line = 0;
        Error error;
        bool is_withdrawn = false;
    };
    std::vector<Fault> faults_;
    std::size_t first_of_table_ = 0;
    bool keys_are_independent_ = true;
};

}  // namespace thirstline
