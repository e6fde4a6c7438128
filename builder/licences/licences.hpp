// What the licences of a file's sources allow together. Information from licences.toml, in which
// every entry has its standing; not legal advice.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "schema/base/result.hpp"

namespace thirstline {

struct Licence {
    std::vector<std::string> words;  ///< as recipes have them; the first is shown
    std::string title;
    bool may_be_passed_on = false;  ///< of a file made from the data, here and below
    bool allows_commercial_use = false;
    bool needs_attribution = true;
    bool is_share_alike = false;
    std::vector<std::string> beside;  ///< share-alike only: words of licences that may be mixed in
    std::string standing;             ///< "read", "second-hand" or "from memory"
};

class Licences {
  public:
    /// Those that the program knows. Errors: internal, if its own table is wrong.
    [[nodiscard]] static Result<Licences> known();
    /// Null for a word that is not in the table. Capitals, blanks and signs do not matter.
    [[nodiscard]] const Licence* find(std::string_view word) const;
    [[nodiscard]] const std::vector<Licence>& all() const { return licences_; }

  private:
    std::vector<Licence> licences_;
};

struct LicensedSource {
    std::string name;
    std::string licence;
    std::string attribution;
};

/// Two sources whose licences do not allow them in one file that is passed on.
struct LicenceClash {
    LicensedSource share_alike;
    LicensedSource other;
};

struct LicenceSummary {
    std::size_t sources = 0;
    std::vector<LicensedSource> not_to_be_passed_on;
    std::vector<LicensedSource> non_commercial;
    std::vector<LicensedSource> share_alike;  ///< a source of each such licence
    std::vector<LicenceClash> clashes;        ///< each pair of licences once
    std::vector<LicensedSource> unknown;      ///< the licence is not in the table, each word once
    std::vector<std::string> attributions;    ///< to be shown, each once, in the sources' order
    std::vector<std::string> without_date;    ///< sources whose attribution lacks its date
    std::vector<std::string> standings;       ///< "CC-BY-4.0: from memory", each once
};

/// In an attribution that must have the date of access, until somebody fills it in.
inline constexpr std::string_view kDateToFillIn = "YYYY-MM-DD";

[[nodiscard]] LicenceSummary licence_summary(const Licences& licences,
                                             const std::vector<LicensedSource>& sources);

/// Whether someone needs rights of his own to publish a file made from the sources.
[[nodiscard]] inline bool restricts_publishing(const LicenceSummary& summary) {
    return !summary.not_to_be_passed_on.empty() || !summary.non_commercial.empty() ||
           !summary.clashes.empty();
}

/// Why, in a sentence without its full stop: `the license "non-commercial" of "Wind" does not allow
/// commercial use`. Empty unless restricts_publishing.
[[nodiscard]] std::string publishing_restriction(const LicenceSummary& summary);

}  // namespace thirstline
