import { language } from '../present/language.ts';
import { customerBody, customerHead, customerTitle } from './customer.ts';
import { fileBody } from './file.ts';
import type { ReportInput } from './input.ts';
import { html, type Markup } from '../markup.ts';
import { localMoment } from '../present/local-time.ts';
import { jobFacts } from './parts.ts';
import { REPORT_STYLE } from './style.ts';

const words = language.report.report;

/**
 * One self-contained HTML page: pictures are SVG in it, no script, no outside file, fit to print on A4 and Letter.
 * `customer`: plain words, one picture, before and after. `file`: everything that was measured, with uncertainties, sensor, hashes.
 */
export function renderReport(input: ReportInput): string {
  const forCustomer = input.audience === 'customer';
  const title = forCustomer ? customerTitle(input) : input.job === null || input.job.vehicle === '' ? words.whatTheCurrentShows : words.whatTheCurrentShowsOf(input.job.vehicle);
  const body = forCustomer ? customerBody(input) : fileBody(input);
  const page = html`<html lang="${language.locale}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:"><title>${title}</title></head>
<body class="for-${input.audience}"><header>${forCustomer ? customerHead(input) : fileHead(input, title)}${input.traces.some(({ record }) => record.simulated) ? html`<p class="made-up"><strong>${language.pages.strip.virtualReport}</strong></p>` : null}</header>
<main>${body}</main>
<footer class="small"><p>${forCustomer ? language.customer.made(localMoment(input.madeAt, input.timeZone ?? 'UTC')) : words.madeWithAmptrail(input.madeAt.slice(0, 10), input.software, language.cautions.comesFirst)}</p></footer></body></html>`;
  // the style is our own constant text: it is put in behind the escaping, once
  return `<!doctype html>\n${page.text.replace('</title>', () => `</title><style>${REPORT_STYLE}</style>`)}\n`;
}

function fileHead({ job }: ReportInput, title: string): Markup {
  return html`<h1>${title}</h1>${job === null || job.complaint === '' ? null : html`<p>${words.complaint(job.complaint)}</p>`}${jobFacts(job)}`;
}
