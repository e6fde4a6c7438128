#include "builder/report/recipe_licences.hpp"

namespace thirstline {

Result<LicenceSummary> licences_of(const Recipe& recipe) {
    std::vector<LicensedSource> sources;
    const auto add = [&sources](const SourceTerms& terms) {
        if (!terms.name.empty()) sources.push_back({terms.name, terms.licence, terms.attribution});
    };
    for (const GridRecipe& grid : recipe.grids) add(grid.terms);
    for (const StationRecipe& stations : recipe.stations) add(stations.terms);
    if (recipe.elevation) add(recipe.elevation->terms);
    for (const PostalRecipe& postal : recipe.postal) add(postal.terms);
    const auto known = TRY(Licences::known());
    return licence_summary(known, sources);
}

Result<LicenceSummary> licences_of(const std::vector<Source>& sources) {
    std::vector<LicensedSource> licensed;
    for (const Source& source : sources)
        licensed.push_back({source.name, source.licence, source.attribution});
    const auto known = TRY(Licences::known());
    return licence_summary(known, licensed);
}

}  // namespace thirstline
