// What travels into the file with every source, and is shown with every answer.
//
// Thread safety: plain values.
#pragma once

#include <string>

namespace thirstline {

struct SourceTerms {
    std::string name;
    std::string period;
    std::string licence;
    std::string attribution;
    std::string url;
};

}  // namespace thirstline
