#include "builder/publish/report_style.hpp"

#include "schema/text/page_style.hpp"

namespace thirstline {

// Shades run from pale to deep by day and from deep to pale by night, so that more always stands
// out more, in grey as in colour.
std::string report_style() {
    return std::string(shared_page_style()) + R"(
:root { --edge: #1c2529; }
.eto_year { --m0: #f6ead2; --m1: #ecc99a; --m2: #dca268; --m3: #bf763d; --m4: #934d22; --m5: #5f2b12; }
.rain_year { --m0: #e8f1f2; --m1: #bcd8df; --m2: #8ab8c8; --m3: #558fa8; --m4: #2c6684; --m5: #12405c; }
.eto_se_year_percent { --m0: #efecf1; --m1: #d2cad8; --m2: #b0a3bb; --m3: #897998; --m4: #635274; --m5: #40314f; }
@media (prefers-color-scheme: dark) {
  :root { --edge: #e9e7e0; }
  .eto_year { --m0: #3a2013; --m1: #6b3a1d; --m2: #9a5d30; --m3: #c58a52; --m4: #e3b988; --m5: #f8e6c9; }
  .rain_year { --m0: #152f3e; --m1: #1f4d66; --m2: #346f8c; --m3: #5b97b0; --m4: #94c1d0; --m5: #daecf0; }
  .eto_se_year_percent { --m0: #2e2638; --m1: #4b3f59; --m2: #6d5f7d; --m3: #9285a2; --m4: #bbb0c6; --m5: #e8e3ec; }
}
.m0 { fill: var(--m0); background: var(--m0); } .m1 { fill: var(--m1); background: var(--m1); }
.m2 { fill: var(--m2); background: var(--m2); } .m3 { fill: var(--m3); background: var(--m3); }
.m4 { fill: var(--m4); background: var(--m4); } .m5 { fill: var(--m5); background: var(--m5); }
a { color: var(--water); }
section { border-top: 1px solid var(--line); padding-top: 1rem; }
header + section { border-top: 0; padding-top: 0; }
section > p { max-width: 46rem; }
section > p + p, section > p + table, section > ul + table, section > p + .scroll { margin-top: .6rem; }
h3 { margin: .9rem 0 .3rem; }
section > ul { max-width: 46rem; }
section > ul > li { margin: .3rem 0; }
.figures { max-width: 46rem; }
.figures div { display: flex; flex-wrap: wrap; gap: 0 1rem; border-top: 1px solid var(--line); padding: .28rem 0; }
.figures dt { flex: 0 0 10rem; color: var(--quiet); }
.figures dd { flex: 1 1 14rem; font-variant-numeric: tabular-nums; }
.notice { border-left: .4rem solid var(--need); background: var(--panel); padding: .7rem .9rem; margin-top: .8rem; }
.sum { font: .82rem/1.5 "DejaVu Sans Mono", Menlo, Consolas, monospace; overflow-wrap: anywhere; color: var(--quiet); }
.maps { display: grid; gap: 1.4rem 1.8rem; max-width: 46rem; grid-template-columns: repeat(auto-fill, minmax(min(100%, 17rem), 1fr)); }
.maps figcaption { font-weight: 650; font-size: .92rem; line-height: 1.3; min-height: 2.6em; }
.maps svg { margin: .3rem 0; }
.maps path { shape-rendering: crispEdges; }
.maps .outline { fill: none; stroke: var(--edge); stroke-width: 1; vector-effect: non-scaling-stroke; shape-rendering: auto; }
.maps .dots { fill: none; stroke: var(--water); stroke-width: 4.5; stroke-linecap: round; vector-effect: non-scaling-stroke; shape-rendering: auto; }
.legend { list-style: none; margin: 0; padding: 0; display: flex; flex-wrap: wrap; gap: .1rem .8rem; font-size: .82rem; font-variant-numeric: tabular-nums; }
.legend li { display: flex; align-items: center; gap: .35rem; margin: 0; white-space: nowrap; }
.legend span { width: 1rem; height: .8rem; border: 1px solid var(--quiet); }
.maps .note { margin-top: .2rem; font-size: .82rem; }
.scroll { overflow-x: auto; }
.scroll:focus-visible, a:focus-visible { outline: 3px solid var(--need); outline-offset: 2px; }
.scores { min-width: 40rem; }
.scores tbody th { white-space: normal; min-width: 12rem; }
th, td { padding-right: .5rem; }
thead th { overflow-wrap: normal; }
.number { overflow-wrap: normal; white-space: nowrap; }
.texts td, .texts tbody th { min-width: 4.4rem; }
.texts .number { min-width: 0; }
table { max-width: 52rem; }
tbody th { white-space: normal; }
.texts td, .texts th { text-align: left; }
.texts .number, .texts thead th:last-child { text-align: right; }
.scroll .texts { min-width: 34rem; } .scroll .texts thead th:last-child { text-align: left; }
.scroll + .scroll { margin-top: .8rem; }
.group th { font-weight: 650; padding-top: .5rem; }
.terms { margin-top: .5rem; max-width: 46rem; }
.terms dt { font-weight: 650; font-size: .92rem; overflow-wrap: anywhere; }
.terms dd { margin-bottom: .5rem; font-size: .92rem; }
.downloads { list-style: none; padding: 0; }
.downloads li { margin: .5rem 0; }
.cite { background: var(--panel); padding: .7rem .9rem; }
pre { font: .8rem/1.45 "DejaVu Sans Mono", Menlo, Consolas, monospace; background: var(--panel); margin: .4rem 0 0;
  padding: .7rem .9rem; white-space: pre-wrap; overflow-wrap: anywhere; }
@media (max-width: 30rem) {
  .figures dt { flex-basis: 100%; font-size: .88rem; } .maps figcaption { min-height: 0; }
}
@page { margin: 14mm 15mm;
  @bottom-right { content: counter(page) " / " counter(pages); font: 8pt Helvetica, Arial, sans-serif; color: #444444; } }
@media print {
  :root { color-scheme: light; font-size: 9.5pt; --edge: #111111;
    --paper: #ffffff; --ink: #111111; --quiet: #444444; --line: #bdbdbd; --panel: #f4f4f4;
    --water: #0f5c70; --rain: #4f86a0; --need: #9c3f10; }
  .eto_year { --m0: #f6ead2; --m1: #ecc99a; --m2: #dca268; --m3: #bf763d; --m4: #934d22; --m5: #5f2b12; }
  .rain_year { --m0: #e8f1f2; --m1: #bcd8df; --m2: #8ab8c8; --m3: #558fa8; --m4: #2c6684; --m5: #12405c; }
  .eto_se_year_percent { --m0: #efecf1; --m1: #d2cad8; --m2: #b0a3bb; --m3: #897998; --m4: #635274; --m5: #40314f; }
  body { font-size: 1rem; line-height: 1.35; -webkit-print-color-adjust: exact; print-color-adjust: exact; }
  main { max-width: none; padding: 0; }
  .back { display: none; }
  section { margin-bottom: 4mm; padding-top: 2.5mm; }
  h2, h3, caption { break-after: avoid; }
  figure, tr, li, .scores, .figures div, .notice, .cite { break-inside: avoid; }
  thead { display: table-header-group; }
  .maps { max-width: none; grid-template-columns: repeat(2, 1fr); gap: 4mm 8mm; }
  .maps svg { max-height: 70mm; }
  .scroll { overflow: visible; } .scores, .scroll .texts { min-width: 0; } .scores tbody th { min-width: 0; }
  a { color: inherit; text-decoration: none; }
  .sum, pre { font-size: .78rem; }
}
)";
}

}  // namespace thirstline
