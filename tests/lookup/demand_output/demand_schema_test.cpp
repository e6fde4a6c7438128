// Demand's JSON against its schema, by an independent validator.
#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validation_results.hpp>
#include <valijson/validator.hpp>

#include "lookup/demand_output/demand_json.hpp"
#include "lookup/site_output/site_json.hpp"
#include "tests/support/demand_reports.hpp"

namespace thirstline {
namespace {

using Json = nlohmann::json;
using Adapter = valijson::adapters::NlohmannJsonAdapter;

Json schema_document() {
    std::ifstream file(THIRSTLINE_DEMAND_SCHEMA);
    return Json::parse(file);
}

/// What is wrong with the document; empty if it is valid.
std::string faults(const Json& document) {
    const Json schema_json = schema_document();
    valijson::Schema schema;
    valijson::SchemaParser(valijson::SchemaParser::kDraft7)
        .populateSchema(Adapter(schema_json), schema);
    valijson::ValidationResults results;
    if (valijson::Validator().validate(schema, Adapter(document), &results)) return {};
    std::string out = "invalid";
    for (valijson::ValidationResults::Error error; results.popError(error);) {
        for (const std::string& step : error.context) out += step;
        out += ": " + error.description + "\n";
    }
    return out;
}

Json json_of(const DemandReport& report) {
    return Json::parse(demand_json(report, JsonLayout::one_line));
}

/// Members that the schema does not describe.
void expect_described(const Json& value, const Json& schema, const Json& definitions,
                      const std::string& path) {
    if (schema.contains("$ref")) {
        const std::string name = schema["$ref"].get<std::string>().substr(14);  // #/definitions/
        expect_described(value, definitions[name], definitions, path);
    } else if (value.is_array()) {
        for (const Json& item : value) {
            expect_described(item, schema["items"], definitions, path + "[]");
        }
    } else if (value.is_object()) {
        for (const auto& [name, member] : value.items()) {
            ASSERT_TRUE(schema["properties"].contains(name)) << path << "." << name;
            expect_described(member, schema["properties"][name], definitions, path + "." + name);
        }
    }
}

TEST(DemandSchema, HoldsForEveryKindOfOutput) {
    EXPECT_EQ(faults(json_of(test::merrow_demand(test::three_zones()))), "");
    EXPECT_EQ(faults(json_of(test::merrow_demand(test::three_zones_of_a_strict_town()))), "");
    EXPECT_EQ(faults(json_of(test::full_demand())), "");
    EXPECT_EQ(faults(json_of(test::merrow_demand(test::three_zones(), {.no_eto_at_all = true}))),
              "");
    EXPECT_EQ(faults(json_of(test::merrow_demand(test::three_zones(), {.temperature = false}))),
              "");
    EXPECT_EQ(faults(json_of(test::merrow_demand(test::three_zones(), {.standard_errors = false}))),
              "");
    EXPECT_EQ(faults(Json::parse(miss_json({}, "no data", JsonLayout::one_line))), "");
}

TEST(DemandSchema, DescribesEveryMember) {
    const Json schema = schema_document();
    const Json& definitions = schema["definitions"];
    expect_described(json_of(test::full_demand()), definitions["answer"], definitions, "");
}

TEST(DemandSchema, RefusesWhatIsNotADemand) {
    const Json sound = json_of(test::merrow_demand(test::three_zones()));
    for (const char* name : {"schema_version", "query", "zones", "site", "cautions", "baseline"}) {
        Json lacking = sound;
        lacking.erase(name);
        EXPECT_NE(faults(lacking), "") << name;
    }
    Json wrong = sound;
    wrong["zones"][0]["months"][3]["need_mm"] = "4 mm";
    EXPECT_NE(faults(wrong), "");
    wrong = sound;
    wrong["zones"][0]["months"].erase(11);
    EXPECT_NE(faults(wrong), "");
    wrong = sound;
    wrong["zones"][0]["rain_shutoff_mm"] = 2;
    EXPECT_NE(faults(wrong), "");
}

}  // namespace
}  // namespace thirstline
