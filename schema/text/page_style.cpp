#include "schema/text/page_style.hpp"

#include "schema/base/sha256.hpp"
#include "schema/text/html_text.hpp"

namespace thirstline {

std::string_view shared_page_style() {
    return R"(
:root {
  color-scheme: light dark;
  --paper: #fdfcf9; --ink: #1c2529; --quiet: #55626a; --line: #d3d1c8; --panel: #f3f1ea;
  --water: #0f5c70; --rain: #4f86a0; --need: #9c3f10; --alarm: #8f1d14; --alarm-panel: #fbeeea;
}
@media (prefers-color-scheme: dark) {
  :root {
    --paper: #14191b; --ink: #e9e7e0; --quiet: #a9b4b9; --line: #3a4448; --panel: #1d2528;
    --water: #7cc4d8; --rain: #5f9cb6; --need: #f0a171; --alarm: #ff9d8f; --alarm-panel: #33201d;
  }
}
* { box-sizing: border-box; }
html { -webkit-text-size-adjust: 100%; }
body { margin: 0; background: var(--paper); color: var(--ink);
  font: 16px/1.45 "Helvetica Neue", Helvetica, Arial, "Liberation Sans", sans-serif; }
main { max-width: 62rem; margin: 0 auto; padding: 1.5rem 1rem 3rem; }
h1, h2, h3, p, ul, dl, dd, dt, figure, table { margin: 0; padding: 0; }
h1 { font: 600 1.9rem/1.15 Georgia, "Liberation Serif", serif; letter-spacing: -.01em; }
h2 { font: 600 1.2rem/1.25 Georgia, "Liberation Serif", serif; margin-bottom: .35rem; }
h3 { font-size: 1rem; font-weight: 650; overflow-wrap: anywhere; }
section, header { margin-bottom: 1.6rem; }
header { border-bottom: 2px solid var(--ink); padding-bottom: .9rem; }
.kicker { color: var(--water); font-weight: 650; letter-spacing: .02em; }
.lead, .note { color: var(--quiet); }
.lead { margin-bottom: .6rem; }
.note { font-size: .9rem; margin-top: .5rem; }
h1, li, p, td, th, dd { overflow-wrap: anywhere; }
.alarm { border: 2px solid var(--alarm); border-left-width: .6rem; background: var(--alarm-panel);
  padding: .8rem 1rem; }
.alarm h2 { color: var(--alarm); }
ul { padding-left: 1.1rem; }
li { margin: .15rem 0; }
svg { display: block; width: 100%; height: auto; }
svg text { fill: var(--ink); font: 12px "Helvetica Neue", Helvetica, Arial, "Liberation Sans", sans-serif; }
table { border-collapse: collapse; width: 100%; font-size: .88rem;
  font-variant-numeric: tabular-nums; }
caption { text-align: left; font-weight: 650; padding-bottom: .3rem; }
th, td { padding: .16rem .3rem; text-align: right; vertical-align: top; font-weight: 400; }
thead th { color: var(--quiet); border-bottom: 1px solid var(--ink); vertical-align: bottom; }
tbody th { text-align: left; }
tbody th, thead th:first-child { white-space: nowrap; }
thead th:first-child { text-align: left; }
tbody tr { border-bottom: 1px solid var(--line); }
)";
}

std::string one_file_page_head(std::string_view title, std::string_view style) {
    Sha256 hash;
    hash.add(style);
    return "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
           "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
           "'sha256-" +
           hash.base64_digest() +
           "'; base-uri 'none'; form-action 'none'\">\n"
           "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n" +
           element("title", title) + "<style>" + std::string(style) +
           "</style>\n</head>\n<body>\n<main>\n";
}

}  // namespace thirstline
