#include "lookup/library/reply.hpp"

#include <algorithm>
#include <utility>

#include "schema/database/postal_codes.hpp"
#include "schema/geo/coordinates.hpp"

namespace thirstline {

namespace {

/// Errors in the question become the answer's status; errors of the file are returned.
Result<Reply> refused_or_failed(Reply answer, const Error& error) {
    if (error.code != ErrorCode::usage) return fail(error);
    answer.status = THIRSTLINE_USAGE;
    answer.miss = {error.message, error.hint};
    return answer;
}

Reply missed(Reply answer, Miss miss) {
    answer.status = THIRSTLINE_NO_DATA;
    answer.miss = std::move(miss);
    return answer;
}

/// The countries that have the code, sorted, if there are several.
Result<std::vector<std::string>> rival_countries(Database& database, std::string_view code) {
    const auto places = TRY(places_meant_by(database, code));
    std::vector<std::string> countries;
    if (places.size() > 1)
        for (const PostalPlace& place : places) countries.push_back(place.country);
    std::sort(countries.begin(), countries.end());
    return countries;
}

}  // namespace

Result<Reply> place_of(Database& database, const SiteQuestion& question) {
    Reply answer;
    if (!question.postal) {
        const auto position = checked_position(question.lat_lon);
        if (!position) return refused_or_failed(std::move(answer), position.error());
        answer.query.position = *position;
        return answer;
    }
    if (question.country.empty()) {
        auto countries = rival_countries(database, *question.postal);
        if (!countries) return refused_or_failed(std::move(answer), countries.error());
        answer.countries = std::move(*countries);
    }
    auto finding = find_postal_code(database, *question.postal, question.country);
    if (!finding) {
        auto refused = refused_or_failed(std::move(answer), finding.error());
        if (refused && !refused->countries.empty()) {
            refused->status = THIRSTLINE_AMBIGUOUS;
            refused->miss.hint = "name one of these countries";
        }
        return refused;
    }
    answer.query = std::move(finding->query);
    if (finding->miss) return missed(std::move(answer), std::move(*finding->miss));
    return answer;
}

Result<Reply> site_answer(Database& database, const SiteQuestion& question) {
    auto answer = place_of(database, question);
    if (!answer) return answer;
    answer->query.elevation_m = question.elevation_m;
    if (answer->status != THIRSTLINE_OK) return answer;
    const LatLonE7 position = *answer->query.position;
    auto found = database.answer(position, question.elevation_m);
    if (!found) return refused_or_failed(std::move(*answer), found.error());
    if (!found->found) return missed(std::move(*answer), no_data_near(position, found->reach_m));
    if (question.elevation_m && found->exceeds_max_adjustment) {
        answer->status = THIRSTLINE_USAGE;
        answer->miss = {elevation_too_far(*found, database.layout(), *question.elevation_m), ""};
        return answer;
    }
    answer->answer = *found;
    return answer;
}

thirstline_status status_of(ErrorCode code) {
    switch (code) {
        case ErrorCode::no_data:
            return THIRSTLINE_NO_DATA;
        case ErrorCode::usage:
            return THIRSTLINE_USAGE;
        case ErrorCode::bad_input:
        case ErrorCode::bad_database:
            return THIRSTLINE_BAD_FILE;
        case ErrorCode::io:
            return THIRSTLINE_IO;
        case ErrorCode::internal:
        case ErrorCode::interrupted:
            return THIRSTLINE_INTERNAL;
    }
    return THIRSTLINE_INTERNAL;
}

}  // namespace thirstline
