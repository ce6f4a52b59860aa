/** The report as one page that needs no other file and runs nothing: readable on a phone, printable on A4 and Letter. */
import { type Drawing, svgText } from '../charts/drawing.ts';
import type { Report, ReportTable, Section } from './sections.ts';

/**
 * Inline style of the page; its hash is allowed where the page is served. Black on white like a field book's ruled
 * leaves; the one warm colour is for doubts, which are told by words and shape as well.
 */
export const reportStyle = `
:root{--ink:#111;--rule:#c5ced1;--soft:#4a4f55;--doubt:#9a3b00;color-scheme:light}
*{box-sizing:border-box}
html{font:100%/1.45 system-ui,-apple-system,"Segoe UI",Roboto,"Noto Sans",sans-serif;-webkit-text-size-adjust:100%;text-size-adjust:100%}
body{margin:0 auto;padding:1.5rem 1.25rem 3rem;max-width:60rem;background:#fff;color:var(--ink);font-variant-numeric:tabular-nums}
h1,h2,.kind,figcaption b{font-family:Charter,"Bitstream Charter",Georgia,Cambria,"Times New Roman",serif}
header{border-top:3px double;border-bottom:3px double;padding:1rem 0 .9rem;margin-bottom:1.5rem}
.kind{margin:0;font-style:italic}
h1{margin:.1rem 0 .5rem;font-size:2rem;line-height:1.1}
h1::first-letter{text-transform:uppercase}
header p{margin:.1rem 0}
section{margin-top:2rem}
h2{margin:0 0 .5rem;font-size:1.25rem;line-height:1.2;border-bottom:1px solid}
p{margin:.35rem 0;max-width:44rem}
.notes p{color:var(--soft);font-size:.9rem}
.sheet{overflow-x:auto}
table{border-collapse:collapse;width:100%;font-size:.95rem}
th,td{padding:.28rem .6rem .28rem 0;text-align:left;vertical-align:top;border-bottom:1px solid var(--rule)}
th:last-child,td:last-child{padding-right:0}
thead th{vertical-align:bottom;border-bottom:2px solid;font-size:.85rem;font-weight:600}
.n{text-align:right}
td.n{white-space:nowrap}
tr.sum td{border-bottom:1px solid;font-weight:600}
td.open{color:var(--doubt);font-weight:700}
.figures{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,24rem),1fr));gap:1.5rem}
figure{margin:0}
figcaption{min-height:4.2rem}
figcaption b{display:block;font-size:1.05rem}
figcaption b::first-letter{text-transform:uppercase}
figcaption{font-size:.9rem;line-height:1.35}
svg{display:block;width:100%;max-width:34rem}
svg line,svg path,svg circle,svg rect{fill:none;stroke:var(--ink);stroke-width:1.3}
svg text{fill:var(--ink);font-size:14px;font-variant-numeric:tabular-nums}
svg .grid{stroke:var(--rule);stroke-width:1}
svg .band{fill:#8a98a3;fill-opacity:.22;stroke:none}
svg .curve{stroke-width:2.2}svg .dashed{stroke-dasharray:9 5}svg .dotted{stroke-dasharray:2 4}svg .dashdot{stroke-dasharray:9 4 2 4}svg .leader{stroke-width:.7}
svg .point circle,svg .dot{fill:var(--ink);stroke:none}
svg .point line{stroke-width:1}
svg .doubted rect{fill:#fff;stroke:var(--doubt);stroke-width:2.2}
svg .doubted text{fill:var(--doubt);font-weight:700}
svg .bar{fill:#3a4149;stroke:var(--ink)}
svg .bar.dead{fill:url(#hatch)}
svg .limits{stroke:#8a98a3;stroke-width:3.5}
svg .leaf{stroke:var(--rule)}
svg .leg{stroke:#8a98a3;stroke-width:1}
svg .unsure{stroke-dasharray:3 3;stroke-width:1;stroke:#8a98a3}
svg .spot,svg .north{fill:var(--ink)}
svg .bare .spot{fill:#fff}
svg .plot text{font-weight:700}
svg .length{fill:var(--soft);font-size:12px;stroke:#fff;stroke-width:4;paint-order:stroke}
svg .plot text,svg .name{stroke:#fff;stroke-width:3;paint-order:stroke}
@media (max-width:40rem){
body{padding:1rem .9rem 2rem}
h1{font-size:1.7rem}
figcaption{min-height:0;margin-bottom:.3rem}
table:not(.wide){font-size:.85rem}
table:not(.wide) th,table:not(.wide) td{padding-right:.4rem}
table:not(.wide) thead th{font-size:.75rem}
table.wide thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
table.wide,table.wide tbody{display:block}
table.wide tr{display:grid;grid-template-columns:minmax(4rem,28%) 1fr;gap:.05rem .8rem;padding:.5rem 0;border-bottom:1px solid}
table.wide td{display:contents}
table.wide td.n{text-align:left}
table.wide td:first-child{display:block;grid-column:1/-1;font-weight:600}
table.wide td:first-child:not([data-head=""])::before{margin-right:.4rem}
table.wide td::before{content:attr(data-head);color:var(--soft);font-size:.85rem}
table.wide td:empty,table.wide td.nought{display:none}
table.wide td.open span{color:var(--doubt)}
}
@page{margin:17mm 15mm 18mm;@bottom-right{content:counter(page) " of " counter(pages);font:9pt sans-serif}}
@media print{
html{font-size:10pt}
body{padding:0;max-width:none}
h2{break-after:avoid}
section{margin-top:1.3rem}
tr,figure,header{break-inside:avoid}
thead{display:table-header-group}
.sheet{overflow:visible}
.figures{grid-template-columns:1fr 1fr;gap:1rem}
.notes{break-before:avoid}
p{orphans:3;widows:3}
}`;

/** The whole page. */
export const reportPage = (report: Report): string => [...reportPieces(report)].join('');

/** The page piece by piece, so that a long one need not be held whole. */
export function* reportPieces({ title, facts, sections }: Report): Generator<string> {
  const name = html(title);
  yield `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1"><title>${name}</title><style>${reportStyle}</style></head>
<body><header><p class="kind">Field report</p><h1>${name}</h1>${facts.map(paragraph).join('')}</header><main>`;
  for (const section of sections) yield* sectionPieces(section);
  yield `
</main></body></html>
`;
}

function* sectionPieces({
  heading,
  lines = [],
  table,
  drawings = [],
  notes = [],
}: Section): Generator<string> {
  yield `\n<section><h2>${html(heading)}</h2>${lines.map(paragraph).join('')}`;
  if (table !== undefined) yield* tablePieces(table);
  if (drawings.length > 0) yield `<div class="figures">${drawings.map(figureHtml).join('')}</div>`;
  if (notes.length > 0) yield `<div class="notes">${notes.map(paragraph).join('')}</div>`;
  yield '</section>';
}

/** Rows of a table in one piece. */
const rowsAtOnce = 500;

function* tablePieces(table: ReportTable): Generator<string> {
  const { head, rows, wide, numeric = numericIn(table) } = table;
  const heads = head.map(
    (cell, at) => `<th scope="col"${numeric[at] ? ' class="n"' : ''}>${html(cell)}</th>`,
  );
  yield `<div class="sheet"><table${wide ? ' class="wide"' : ''}><thead><tr>${heads.join('')}</tr></thead><tbody>`;
  const columns = head.map((cell, at) => columnOf(cell, numeric[at] === true, wide === true));
  let piece = '';
  let at = 0;
  for (const row of rows) {
    piece += rowHtml(columns, row, table.sums?.(at) === true);
    if (++at % rowsAtOnce !== 0) continue;
    yield piece;
    piece = '';
  }
  yield `${piece}</tbody></table></div>`;
}

/** A column of numbers only. */
function numericIn({ head, rows }: ReportTable): readonly boolean[] {
  const all = [...rows];
  return head.map((_, at) => all.every((row) => numberLike.test(row[at] ?? '')) && !!all[0]?.length);
}

/** What stands before a cell of a column, and after it. */
interface Column {
  readonly plain: string;
  /** Before "open": what is still in doubt. */
  readonly open: string;
  readonly empty: string;
  readonly end: string;
}

function columnOf(head: string, numeric: boolean, wide: boolean): Column {
  const label = wide ? ` data-head="${html(head)}"` : '';
  const start = (...styles: readonly string[]): string => {
    const all = [...(numeric ? ['n'] : []), ...styles];
    return `<td${all.length > 0 ? ` class="${all.join(' ')}"` : ''}${label}>${wide ? '<span>' : ''}`;
  };
  return {
    plain: start(),
    open: start('open'),
    empty: wide ? start('nought') : start(),
    end: wide ? '</span></td>' : '</td>',
  };
}

function rowHtml(columns: readonly Column[], row: readonly string[], sums: boolean): string {
  let cells = sums ? '<tr class="sum">' : '<tr>';
  for (let at = 0; at < row.length; at++) {
    const cell = row[at]!;
    const { plain, open, empty, end } = columns[at] ?? noColumn;
    cells += (cell === '' ? empty : cell === 'open' ? open : plain) + html(cell) + end;
  }
  return `${cells}</tr>`;
}

const noColumn = columnOf('', false, false);

/** Empty, or a number with what may stand beside it: "12", "3.4 ± 0.5", "12 %", "10 to 20". */
const numberLike = /^(−?[\d.,]+( ?%)?( (±|to) [\d.,]+)?)?$/;

const figureHtml = (drawing: Drawing): string =>
  `<figure><figcaption><b>${html(drawing.title)}</b>${html(drawing.says)}</figcaption>${svgText(drawing)}</figure>`;

const paragraph = (line: string): string => `<p>${html(line)}</p>`;

const html = (text: string): string =>
  special.test(text) ? text.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`) : text;
const special = /[&<>"']/;
