import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareActuation } from '../../../src/core/present/documents/document-compare.ts';
import type { ReportInput } from '../../../src/core/report/input.ts';
import { renderReport } from '../../../src/core/report/report.ts';
import type { Repair } from '../../../src/core/tracefile/record.ts';
import { actuation, actuationResult, jobRecord, reportTrace } from './examples.ts';

const REPAIR: Repair = { cause: 'mechanism', part: 'guide clip', work: 'Slide cleaned and greased.', at: '2026-11-25T23:30:00Z' };
const BEFORE = actuationResult();
const AFTER = actuationResult([actuation(), actuation()], 'normal');

function page(more: Partial<ReportInput> = {}, repair: Repair | null = REPAIR): string {
  const comparison = compareActuation(BEFORE, AFTER);
  return renderReport({
    audience: 'customer', madeAt: '2026-11-26T12:00:00Z', software: '0.1.0', timeZone: 'Europe/Berlin', job: { ...jobRecord(), repair }, proof: { state: 'confirmed', text: '' },
    traces: [BEFORE, AFTER].map(reportTrace), comparison, overlays: [], ...more,
  });
}

/** Words of the laboratory, and of the trade where a plain word does. */
const LABORATORY = /95 ?%|confidence|uncertain|doubt|judgement|bootstrap|Welch|median|inrush|ripple|baseline|\btraces?\b|SHA|\bnoise\b|UTC/i;

describe('the page for a customer', () => {
  it('says in two sentences on top what was wrong, what was done, and how it is proven', () => {
    const text = page();
    const outcome = /<div class="outcome">([^]*?)<\/div>/.exec(text)![1]!;
    expect([...outcome.matchAll(/<p>(.*?)<\/p>/g)].map(([, sentence]) => sentence)).toEqual([
      // half past eleven at night in UTC is the next day in the workshop
      'We found the fault in the mechanism that the motor drives; work done on 26 November 2026: Slide cleaned and greased; new part: guide clip.',
      'The same test before and after proves the repair: before, it ran, then stopped although it still had power; after, it ran and stopped as it should.',
    ]);
    expect(text.indexOf('<div class="outcome">')).toBeLessThan(text.indexOf('<svg'));
    // what it was brought for comes first: a stall that is gone has no current to compare
    expect(/<tbody>\s*<tr>(.*?)<\/tr>/s.exec(text)![1]!.replaceAll(/<[^>]+>/g, ' ').trim()).toMatch(/^Current while stuck under power.* A\s+none$/);
  });

  it.each([
    ['the traces still show a fault', { proof: { state: 'still-open' as const, text: '' } }, 'does not prove the repair yet'],
    ['the same test shows it worse after than before', { comparison: compareActuation(AFTER, BEFORE), traces: [AFTER, BEFORE].map(reportTrace), proof: { state: 'confirmed' as const, text: '' } }, 'does not prove the repair yet'],
    ['nothing was tested after it', { comparison: null, traces: [reportTrace(BEFORE)], proof: { state: 'not-tested' as const, text: '' } }, 'It has not been tested since.'],
    ['the trace after it does not carry it', { comparison: null, traces: [{ ...reportTrace(AFTER), record: { ...reportTrace(AFTER).record, start: '2026-11-26T08:00:00Z' } }], proof: { state: 'cannot-tell' as const, text: '' } }, 'does not prove it yet'],
  ])('claims no proof where %s', (_what, more, words) => {
    const text = page(more);
    expect(text).toContain(words);
    expect(text).not.toMatch(/proves (it|the repair):/);
  });

  it('tells of a repair after which the same is seen, and figures are better, by these figures, and claims no proof', () => {
    const worked = (runA: number, endS: number) => actuationResult([1, 2, 3].map((n) => actuation({ start_s: 10 * n, end_s: 10 * n + endS, run: { start_s: 10 * n + 0.2, end_s: 10 * n + endS, median_a: runA, low_a: runA - 0.05, high_a: runA + 0.05, spread_a: 0.1, slope_a_per_s: 0 } })), 'normal');
    const unjudged = (result: ReturnType<typeof worked>) => ({ ...result, verdict: { ...result.verdict, basis: 'none' as const } });
    const [before, after] = [unjudged(worked(6.9, 3.2)), unjudged(worked(3.8, 2.3))];
    const comparison = compareActuation(before, after);
    expect(comparison.verdict.finding).toBe('better');
    const text = page({ comparison, traces: [before, after].map(reportTrace), proof: { state: 'cannot-tell', text: '' } });
    // 6.9 A against 3.8 A; 3.2 s under power, of which 0.2 s until it moves, as the press above says
    expect(text).toContain('The same test before and after shows an improvement: current while running, from 6.90 A to 3.80 A; time in motion, from ');
    expect(text).not.toMatch(/\bproves?\b/);
    expect(page({ comparison: compareActuation(after, before), traces: [after, before].map(reportTrace), proof: { state: 'cannot-tell', text: '' } })).toContain('does not prove the repair yet: both times, it ran until it was switched off.');
  });

  it('tells of a comparison whose recordings are not here any more by what it found', () => {
    const text = page({ traces: [BEFORE, AFTER].map((result) => ({ ...reportTrace(result), result: null })) });
    expect(text).toContain('before, it ran, then stopped although it still had power; after, it ran and stopped as it should.');
  });

  it('has no word of the laboratory, with a repair and without, and no name of a program in its head', () => {
    for (const text of [page(), page({}, null), page({ comparison: null, traces: [reportTrace(BEFORE)] }, null)]) {
      const words = text.replace(/<style>[^]*?<\/style>|<meta[^>]*>/g, '').replaceAll(/<[^>]+>/g, ' ');
      expect(words.match(LABORATORY)).toBeNull();
      expect(/<header>([^]*?)<\/header>/.exec(text)![1]).not.toContain('amptrail');
    }
  });

  it('carries the heading of the workshop with its logo, and room to sign', () => {
    const text = page({ workshop: { heading: 'Depot workshop <Mill Lane>\n14 Mill Lane\n', logo: { type: 'image/png', base64: 'iVBORw0KGgo=' } } });
    expect(text).toContain('<b>Depot workshop &lt;Mill Lane&gt;</b><span>14 Mill Lane</span>');
    expect(text).toContain('<img src="data:image/png;base64,iVBORw0KGgo="');
    for (const words of ['Place and date', 'For the workshop', 'Customer']) expect(text).toContain(words);
    expect(page()).not.toContain('<img');
  });

  it('escapes whatever was typed into the job, its repair and the heading', () => {
    fc.assert(
      fc.property(fc.constantFrom('<script>alert(1)</script>', '"><img src=x onerror=y>', '$&<svg onload=x>'), (evil) => {
        const job = { ...jobRecord(), plate: evil, vin: evil, customer: evil, repair: { ...REPAIR, work: evil, part: evil } };
        const text = page({ job, workshop: { heading: `${evil}\n${evil}`, logo: null } });
        expect(text).not.toMatch(/<script|<svg onload|<img/);
      }),
    );
  });
});
