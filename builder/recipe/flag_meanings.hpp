// Record length of a normal, and what the completeness flags of a table say of it.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace thirstline {

/// Record length of a normal (WMO-No. 1203), the better first.
enum class RecordLength : std::uint8_t {
    standard_normal,  ///< thirty years, at least 80 % of them present
    not_stated,       ///< the file does not say
    short_record,     ///< fewer years
    typical_year,     ///< each month from one year that was chosen as typical
};
inline constexpr std::size_t kRecordLengths = 4;

/// By flag, as written in the table.
using FlagMeanings = std::map<std::string, RecordLength, std::less<>>;

/// The sets that a recipe names with flags = "…", in alphabetical order.
[[nodiscard]] std::vector<std::string_view> flag_set_names();

/// Empty for a name that is not among them. The sets, by their publishers' notes:
///   eccc       Canada's normals, code of a row (legend in the files of 1981-2010): A the WMO's "3
///              and 5 rule", B at least 25 years, both standard; C at least 20, D at least 15
///              (1991-2020 also E and F, fewer, from memory), short
///   ncei-1981  U.S. normals of 1981-2010 (from memory): C complete, S standard; R representative,
///              P provisional, Q quasi-normal, E estimated are short
///   ncei-1991  U.S. normals of 1991-2020: S standard, at least 24 years; R at least 10 with gaps
///              filled, P at least 10, E estimated from at least 2, short; C, complete (from
///              memory), is standard
[[nodiscard]] FlagMeanings flag_set(std::string_view name);

/// Of a recipe that states none: those of both editions of the U.S. normals.
[[nodiscard]] FlagMeanings default_flag_meanings();

}  // namespace thirstline
