#include "builder/publish/page_files.hpp"

#include <nlohmann/json.hpp>

#include "schema/base/sha256.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

namespace {

/// Allows scripts, modules and data only from the page's own origin, and no inline content except
/// what a template additionally permits.
constexpr const char* kContentSecurityPolicy =
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'; "
    "img-src 'self' data:; style-src 'self'; worker-src 'self'; base-uri 'none'; "
    "form-action 'none'";

}  // namespace

Result<std::string> filled_template(std::string_view text,
                                    const std::map<std::string, std::string>& values) {
    std::string filled;
    while (true) {
        const std::size_t begin = text.find("{{");
        filled += text.substr(0, begin);
        if (begin == std::string_view::npos) return filled;
        const std::size_t end = text.find("}}", begin);
        const std::string name(
            end == std::string_view::npos ? "" : text.substr(begin + 2, end - begin - 2));
        const auto value = values.find(name);
        if (value == values.end()) {
            return fail(ErrorCode::internal,
                        "a template of the page asks for {{" + name + "}}, which is not defined");
        }
        filled += value->second;
        text.remove_prefix(end + 2);
    }
}

Result<void> write_page_files(SiteFolder& folder, const PageAssets& assets, std::string_view title,
                              const PublishedFile& baseline) {
    const auto script = TRY(folder.add_by_hash("page", ".js", assets.page_script));
    const auto reader = TRY(folder.add_by_hash("reader", ".wasm", assets.reader));
    const auto demand = TRY(folder.add_by_hash("demand", ".wasm", assets.demand));
    const auto index =
        TRY(filled_template(assets.index_template, {{"title", escaped(title)},
                                                    {"page_script", script.name},
                                                    {"baseline", baseline.name},
                                                    {"reader", reader.name},
                                                    {"demand", demand.name},
                                                    {"csp", escaped(kContentSecurityPolicy)}}));
    const auto page = TRY(folder.add("index.html", index));

    nlohmann::json files = nlohmann::json::object();
    files["./"] = page.sha256;
    for (const PublishedFile& file : {script, reader, demand, baseline})
        files[file.name] = file.sha256;
    Sha256 version;
    version.add(assets.service_worker_template);
    version.add(index);
    version.add(files.dump());
    const auto worker = TRY(filled_template(
        assets.service_worker_template,
        {{"files", files.dump()}, {"version", version.hex_digest().substr(0, 16)}}));
    TRY(folder.add("service-worker.js", worker));
    return {};
}

}  // namespace thirstline
