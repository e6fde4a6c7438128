#include "lookup/demand_output/demand_page_style.hpp"

#include "schema/text/page_style.hpp"

namespace thirstline {

std::string page_style() {
    return std::string(shared_page_style()) + R"(
.zones { display: grid; gap: .8rem; grid-template-columns: repeat(auto-fill, minmax(15.5rem, 1fr)); }
.zone { background: var(--panel); border-top: 3px solid var(--water); padding: .7rem .85rem .8rem; }
.zone .run { font: 600 1.75rem/1.2 Georgia, "Liberation Serif", serif; margin: .15rem 0 .1rem; }
.zone .note { margin-top: .25rem; }
.percents { display: grid; grid-template-columns: repeat(12, 1fr); border: 1px solid var(--line); }
.percents div { text-align: center; padding: .35rem .1rem .4rem; border-right: 1px solid var(--line); }
.percents div:last-child { border-right: 0; }
.percents dt { color: var(--quiet); font-size: .85rem; }
.percents dd { font-size: 1.2rem; font-weight: 650; font-variant-numeric: tabular-nums; }
.percents .peak { background: var(--panel); box-shadow: inset 0 -3px 0 var(--water); }
.year { display: grid; gap: 1.6rem 2rem; grid-template-columns: minmax(0, 11fr) minmax(0, 9fr); }
.year .figures { margin-top: 1rem; }
.year.many .wide { grid-column: 1 / -1; }
.tables { display: grid; gap: .8rem 2rem;
  grid-template-columns: repeat(auto-fill, minmax(min(100%, 22rem), 1fr)); }
.tables td { white-space: nowrap; }
svg .tick { fill: var(--quiet); font-size: 11px; }
svg .grid { stroke: var(--line); stroke-width: 1; }
svg .base { stroke: var(--ink); stroke-width: 1.2; }
svg .hatch { stroke: var(--rain); stroke-width: 2.4; }
svg .rain { fill: url(#hatch); stroke: var(--rain); stroke-width: 1; }
svg .credit { fill: var(--water); }
svg .need { fill: none; stroke: var(--need); stroke-width: 2.4; stroke-linejoin: round; }
svg .dot { fill: var(--paper); stroke: var(--need); stroke-width: 2; }
tfoot th, tfoot td { font-weight: 650; text-align: right; }
tfoot th { text-align: left; }
.figures div { display: flex; flex-wrap: wrap; gap: 0 .8rem; justify-content: space-between;
  border-top: 1px solid var(--line); padding: .25rem 0; }
.figures dt { flex: 1 1 9rem; }
.figures dd { font-weight: 650; font-variant-numeric: tabular-nums; }
.figures .saving { border-top: 2px solid var(--water); border-bottom: 2px solid var(--water); }
.small { font-size: .85rem; }
.small li { margin: .1rem 0; }
.columns { column-width: 26rem; column-gap: 2rem; }
.columns li { break-inside: avoid; }
footer { border-top: 1px solid var(--line); padding-top: .8rem; color: var(--quiet); }
@media (max-width: 46rem) {
  .year { grid-template-columns: minmax(0, 1fr); }
  .percents { grid-template-columns: repeat(6, 1fr); }
  .percents div:nth-child(6) { border-right: 0; }
  .percents div:nth-child(-n+6) { border-bottom: 1px solid var(--line); }
  h1 { font-size: 1.6rem; }
  th, td { padding: .16rem .18rem; }
}
@media screen and (max-width: 30rem) {
  .figures dt { flex-basis: 100%; }
  svg text { font-size: 15px; } svg .tick { font-size: 14px; } svg .month { font-size: 14px; }
}
@page { margin: 8mm 11mm;
  @bottom-right { content: "Watering plan, sheet " counter(page) " of " counter(pages);
    font: 7pt Helvetica, Arial, sans-serif; color: #444444; } }
@media print {
  :root { color-scheme: light; font-size: 8pt;
    --paper: #ffffff; --ink: #111111; --quiet: #444444; --line: #bdbdbd; --panel: #f2f2f2;
    --water: #0f5c70; --rain: #4f86a0; --need: #9c3f10; --alarm: #8f1d14; --alarm-panel: #ffffff; }
  body { font-size: 1rem; line-height: 1.25; -webkit-print-color-adjust: exact;
    print-color-adjust: exact; }
  main { max-width: none; padding: 0; }
  section, header { margin-bottom: 2mm; }
  header { display: grid; grid-template-columns: 1fr auto; align-items: baseline;
    padding-bottom: 1mm; }
  .kicker { grid-area: 1 / 2; } header .note { grid-column: 1 / -1; }
  h2 { margin-bottom: .8mm; font-size: 1.25rem; }
  section.keep, .year > div, .zone, figure, table, li { break-inside: avoid; }
  h2, caption { break-after: avoid; }
  thead { display: table-header-group; }
  .alarm { padding: 1.2mm 2mm; }
  .zones { gap: 2mm; grid-template-columns: repeat(3, 1fr); }
  .zone { padding: 1mm 2mm 1.2mm; } .zone .run { font-size: 1.55rem; margin: 0; }
  .note, .zone .note { margin-top: .4mm; } .lead { margin-bottom: .8mm; }
  .percents { grid-template-columns: repeat(12, 1fr); }
  .percents div, .percents div:nth-child(-n+6) { padding: .5mm 0 .7mm; border-bottom: 0; }
  .percents div:nth-child(6) { border-right: 1px solid var(--line); }
  .year { gap: 2mm 5mm; grid-template-columns: minmax(0, 9fr) minmax(0, 6fr) minmax(0, 7fr); }
  .year .figures { margin-top: 1.2mm; } .figures div { padding: .4mm 0; }
  .year .wide { grid-column: 1 / -1; }
  .year.many { grid-template-columns: minmax(0, 10fr) minmax(0, 8fr); }
  .tables { grid-template-columns: repeat(2, minmax(0, 1fr)); gap: 1.2mm 5mm; }
  table { line-height: 1.2; } th, td { padding: .28mm .5mm; }
  .small { font-size: .83rem; line-height: 1.2; } .small h2 { font-size: 1.05rem; margin-bottom: .4mm; }
  ul { padding-left: 3mm; } li, .small li { margin: 0; }
  .columns { columns: 2; column-gap: 5mm; }
  footer { padding-top: 1mm; }
}
)";
}

}  // namespace thirstline
