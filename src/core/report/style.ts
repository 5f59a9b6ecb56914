/** The whole look of a report: ink on paper, A4 or Letter, no outside file. */
export const REPORT_STYLE = `
@page { margin: 12mm 13mm; }
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 20px; max-width: 780px; background: #fff; color: #1b1b1b; font: 13px/1.42 system-ui, "Segoe UI", "Liberation Sans", Arial, sans-serif; }
header { border-bottom: 2px solid #1b1b1b; padding-bottom: 8px; margin-bottom: 12px; }
h1 { font-size: 21px; line-height: 1.2; margin: 0 0 4px; }
h2 { font-size: 15px; margin: 16px 0 6px; break-after: avoid; }
h3 { font-size: 13px; margin: 10px 0 4px; break-after: avoid; }
p { margin: 4px 0; }
.facts { display: flex; flex-wrap: wrap; gap: 2px 22px; margin: 0; }
.facts div { display: flex; gap: 6px; }
.facts dt { color: #555; }
.facts dd { margin: 0; overflow-wrap: anywhere; }
.finding { display: grid; grid-template-columns: minmax(150px, max-content) 1fr; gap: 4px 18px; border: 1.5px solid #1b1b1b; border-left-width: 8px; padding: 9px 13px; margin: 8px 0; break-inside: avoid; }
.finding strong { font-size: 19px; line-height: 1.2; }
.letterhead { display: flex; gap: 18px; align-items: center; margin-bottom: 14px; }
.letterhead img { max-width: 200px; max-height: 70px; object-fit: contain; }
.letterhead div { display: grid; }
.letterhead b { font-size: 16px; }
.outcome { border-left: 8px solid #1b1b1b; padding: 4px 0 4px 16px; margin: 14px 0; break-inside: avoid; }
.outcome p { font-size: 17px; line-height: 1.4; margin: 6px 0; overflow-wrap: anywhere; }
.sign { display: grid; grid-template-columns: repeat(3, 1fr); gap: 0 26px; margin: 58px 0 16px; break-inside: avoid; }
.sign div { border-top: 1px solid #1b1b1b; padding-top: 3px; color: #444; }
.made-up { border: 2px dashed #1b1b1b; padding: 8px 12px; }
.finding p { margin: 0; }
.finding > ul, .finding > .halves { grid-column: 1 / -1; }
ul, ol { margin: 4px 0; padding-left: 20px; }
table { border-collapse: collapse; width: 100%; margin: 6px 0; font-variant-numeric: tabular-nums; }
th, td { text-align: left; padding: 3px 8px 3px 0; border-bottom: 1px solid #cfcfcf; vertical-align: top; }
th { font-weight: 600; border-bottom-color: #1b1b1b; }
td.number, th.number { text-align: right; padding-right: 16px; }
tr { break-inside: avoid; }
figure { margin: 8px 0; break-inside: avoid; }
figcaption { color: #555; font-size: 12px; }
.halves, .ends { display: grid; grid-template-columns: 1fr 1fr; gap: 0 22px; }
.ends { grid-template-columns: 1fr 2.2fr; }
.ends section:last-child ul { columns: 2; column-gap: 26px; }
.ends li { break-inside: avoid; }
.grid-2 { display: grid; grid-template-columns: 1fr 1fr; gap: 0 12px; }
.grid-3 { display: grid; grid-template-columns: 1fr 1fr 1fr; gap: 0 10px; }
.dense { font-size: 12px; }
.dense th, .dense td { padding-right: 6px; }
.dense td.number { white-space: nowrap; }
.dense td.number, .dense th.number { padding-right: 9px; }
.small { font-size: 11.5px; color: #444; }
.small li { margin: 2px 0; }
.hash { font-family: ui-monospace, "Liberation Mono", monospace; font-size: 10.5px; overflow-wrap: anywhere; }
.picture { width: 100%; height: auto; display: block; }
.picture text { font-family: system-ui, "Segoe UI", "Liberation Sans", Arial, sans-serif; }
@media (max-width: 620px) {
  .halves, .ends, .grid-2, .grid-3 { grid-template-columns: 1fr; }
  .ends section:last-child ul { columns: 1; }
  main { overflow-x: auto; }
}
@media print {
  body { padding: 0; max-width: none; font-size: 11.5px; line-height: 1.34; }
  h1 { font-size: 19px; }
  h2 { font-size: 14px; margin: 11px 0 4px; }
  th, td { padding: 1.5px 8px 1.5px 0; }
  .finding { padding: 6px 11px; margin: 6px 0; }
  .finding strong { font-size: 17px; }
  ul, ol { margin: 2px 0; }
  figure { margin: 5px 0; }
  .outcome p { font-size: 15px; }
  .small { font-size: 10.5px; }
  .small li { margin: 1px 0; }
  .hash { font-size: 9px; }
  .for-file { font-size: 10.5px; line-height: 1.28; }
  .for-file h2 { font-size: 12.5px; margin: 8px 0 2px; }
  .for-file .dense { font-size: 9.5px; margin: 3px 0; }
  .for-file .dense th, .for-file .dense td { padding: 0.8px 6px 0.8px 0; }
  .for-file .finding { padding: 4px 9px; margin: 4px 0; }
  .for-file .finding strong { font-size: 14px; }
  .for-file figure { margin: 2px 0; }
  .for-file figcaption { font-size: 9.5px; line-height: 1.2; }
  .for-file .small { font-size: 9.5px; line-height: 1.22; }
  .for-file li { margin: 0; }
}
`;
