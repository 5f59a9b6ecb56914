import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { axisSpan, timeTicks, valueTicks } from '../../../src/core/picture/axis.ts';
import { compareActuation, compareDrain, compareMany } from '../../../src/core/present/documents/document-compare.ts';
import { reportJson, type ReportAudience, type ReportInput } from '../../../src/core/report/input.ts';
import { html } from '../../../src/core/markup.ts';
import { renderReport } from '../../../src/core/report/report.ts';
import { actuation, actuationResult, drainResult, jobRecord, reportTrace } from './examples.ts';

function input(audience: ReportAudience, more: Partial<ReportInput> = {}): ReportInput {
  return {
    audience,
    madeAt: '2026-11-25T12:00:00Z',
    software: '0.1.0',
    job: jobRecord(),
    traces: [reportTrace(actuationResult())],
    comparison: null,
    overlays: [],
    ...more,
  };
}

/** Names of elements and attributes that could run something or fetch something. */
const ACTIVE = /<(script|iframe|object|embed|link|img|foreignObject|form)\b|\son\w+=|javascript:|url\(|@import|src=/i;

describe('the report', () => {
  it.each(['customer', 'file'] as const)('for the %s is one page that runs nothing and fetches nothing', (audience) => {
    const text = renderReport(input(audience, { traces: [reportTrace(actuationResult()), reportTrace(drainResult())] }));
    expect(text).not.toMatch(ACTIVE);
    expect(text.match(/https?:/g)).toBeNull();
    expect(text.startsWith('<!doctype html>')).toBe(true);
  });

  it('escapes whatever strangers wrote, wherever it appears', () => {
    fc.assert(
      fc.property(fc.constantFrom('<script>alert(1)</script>', '"><svg onload=x>', "'&amp;<b>", '</title>$&<img src=x>'), fc.constantFrom('customer', 'file' as const), (evil, audience) => {
        const job = { ...jobRecord(), vehicle: evil, complaint: evil, circuit: evil, note: evil, technician: evil, depot: evil };
        const trace = reportTrace(drainResult());
        const named = { ...trace, record: { ...trace.record, title: evil, logger: { ...trace.record.logger, name: evil } }, marks: [{ timeS: 1, kind: 'pull' as const, label: evil }] };
        const text = renderReport(input(audience as ReportAudience, { job, traces: [named] }));
        expect(text).not.toMatch(/<script|<svg onload|<b>'|<img/);
      }),
    );
  });

  it('for the file carries finding, evidence, next check, sensor, zero, hash, cautions and what was not tested', () => {
    const text = renderReport(input('file'));
    for (const words of ['Stalled', 'ran, then stood still', 'Check next', 'Free the slide', 'Uncertainty of the sensor', 'abc123', 'Only the forward direction was worked', 'airbag', 'service information']) {
      expect(text).toContain(words);
    }
  });

  it.each(['customer', 'file'] as const)('for the %s says of a made-up trace that it proves nothing, and of no other', (audience) => {
    const trace = reportTrace(actuationResult());
    expect(renderReport(input(audience, { traces: [{ ...trace, record: { ...trace.record, simulated: true } }] }))).toContain('made up by a virtual vehicle');
    expect(renderReport(input(audience))).not.toContain('made up by a virtual vehicle');
  });

  it('for the customer keeps to plain words and one picture', () => {
    const text = renderReport(input('customer'));
    expect(text.match(/<svg/g)).toHaveLength(1);
    expect(text).not.toContain('SHA-256');
    expect(text).toContain('In the test on 25 November 2026, it ran, then stopped although it still had power.');
  });

  it('breaks the line of a picture where a gap is, and nowhere else', () => {
    const whole = renderReport(input('file'));
    const trace = reportTrace(actuationResult());
    const broken = renderReport(input('file', { traces: [{ ...trace, gaps: [{ startS: 2, endS: 3 }] }] }));
    const moves = (text: string): number => /<path d="([^"]*)" fill="none" stroke="#0072b2"/.exec(text)![1]!.match(/M/g)!.length;
    expect(moves(whole)).toBe(1);
    expect(moves(broken)).toBe(2);
  });
});

describe('the report of a comparison', () => {
  const line = (level: number) => ({ timeS: Float64Array.of(-0.1, 0, 0.01, 0.2, 2), currentA: Float32Array.of(0, 0, 13, level, level) });
  const overlays = (['forward', 'reverse'] as const).flatMap((direction) => [1, 2, 3, 4, 5].map((number) => ({ direction, number, before: line(7), after: line(4) })));
  const motors = [actuationResult(), actuationResult([actuation(), actuation()], 'normal')] as const;
  const motor = (audience: ReportAudience) => renderReport(input(audience, { traces: motors.map(reportTrace), comparison: compareActuation(...motors), overlays }));

  it('for the customer says before and after in plain words, with one picture of the two on one edge', () => {
    const text = motor('customer');
    expect(text.match(/<svg/g)).toHaveLength(1);
    expect(text).toContain('We ran the same test twice: the first time, it ran, then stopped although it still had power; the second time, it ran and stopped as it should.');
    expect(text).not.toMatch(/time under power|Welch|SHA-256/);
  });

  it('for the file draws the pairs of both directions on the same axes and says how many are not drawn', () => {
    const text = motor('file');
    const pictures = [...text.matchAll(/<svg class="picture" viewBox="0 0 240 120"[^]*?<\/svg>/g)].map(([picture]) => picture);
    // the line and its sample in the legend
    expect(pictures.filter((picture) => picture.match(/stroke="#d55e00"/g)?.length === 2)).toHaveLength(6);
    expect(text).toContain('4 further pairs are not drawn');
    // the same axes: every picture has the same labels
    const labels = pictures.map((picture) => [...picture.matchAll(/text-anchor="(?:end|middle)"[^>]*>([\d. s]+)<\/text>/g)].map(([, label]) => label).join());
    expect(labels[0]!.length).toBeGreaterThan(8);
    expect(new Set(labels).size).toBe(1);
    for (const words of ['Change, 95 %', 'Presses with a fault', 'Check next', 'Not tested', 'Cautions', 'abc123']) expect(text).toContain(words);
  });

  it('of two nights is one picture for the customer, cut off where the level asleep would be lost', () => {
    const nights = [drainResult(), drainResult({ verdict: { finding: 'asleep', because: [], next: [] }, asleep: { at_s: 900, level_a: 0.02, low_a: 0.019, high_a: 0.021 }, average_a: 0.02 })] as const;
    const text = renderReport(input('customer', { traces: nights.map(reportTrace), comparison: compareDrain(...nights) }));
    expect(text.match(/<svg/g)).toHaveLength(1);
    expect(text).toContain('Higher readings are cut off');
    expect(text).toMatch(/Current at rest<\/td><td class="number">180 mA<\/td><td class="number">20 mA</);
  });

  it('of several traces puts the one that stands out first, with its reason beside its picture', () => {
    const results = [7, 4, 4.1].map((level) => actuationResult([1, 2, 3].map((at) => actuation({ start_s: at, end_s: at + 0.5, run: { start_s: at, end_s: at + 0.5, median_a: level, low_a: level - 0.1, high_a: level + 0.1, spread_a: 0.2, slope_a_per_s: 0 } })), 'normal'));
    const result = compareMany(results.map((one, i) => ({ name: `trace ${i + 1}`, result: one })));
    const lines = result.actuations.map(({ trace, direction, number }) => ({ trace, direction, number, timeS: [0, 1], currentA: [0, 4] }));
    const text = renderReport(input('file', { traces: results.map(reportTrace), many: { result, lines } }));
    expect(text).toContain('Side by side: one stands out');
    expect(text.indexOf('<b>trace 1</b>, normal: running current 7')).toBeGreaterThan(0);
    expect(text.indexOf('<b>trace 1</b>')).toBeLessThan(text.indexOf('<b>trace 2</b>'));
    expect(text).not.toMatch(ACTIVE);
  });

  it('is JSON too: every figure, no points of pictures', () => {
    const json = JSON.parse(reportJson(input('file', { traces: motors.map(reportTrace), comparison: compareActuation(...motors), overlays }))) as { comparison: { pairs: unknown[] }; overlays?: unknown; traces: { samples?: unknown }[] };
    expect(json.comparison.pairs.length).toBeGreaterThan(3);
    expect(json.overlays).toBeUndefined();
    expect(json.traces.every(({ samples }) => samples === undefined)).toBe(true);
  });
});

describe('templates', () => {
  it('escape text and let templates through, nested and listed', () => {
    expect(html`<i>${'<'}${[html`<b>${1}</b>`, '&']}${null}</i>`.text).toBe('<i>&lt;<b>1</b>&amp;</i>');
  });

  it('never let a value open a tag, whatever it holds', () => {
    fc.assert(
      fc.property(fc.string(), (value) => {
        expect(html`<p title="${value}">${value}</p>`.text.match(/</g)).toHaveLength(2);
        expect(html`<p title="${value}">${value}</p>`.text.match(/"/g)).toHaveLength(2);
      }),
    );
  });
});

describe('axes', () => {
  it('carry round values inside the span, no more than fifty', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e4, max: 1e4, noNaN: true }), fc.double({ min: 1e-3, max: 1e4, noNaN: true }), (low, width) => {
        for (const { values, step } of [valueTicks(low, low + width, 5), timeTicks(low, low + width, 7)]) {
          expect(values.length).toBeLessThanOrEqual(16);
          for (const value of values) {
            expect(value).toBeGreaterThanOrEqual(low - step * 1e-6);
            expect(value).toBeLessThanOrEqual(low + width + step * 1e-6);
          }
        }
      }),
    );
  });

  it('keep zero in sight when the readings are near it', () => {
    expect(axisSpan(1, 10).low).toBe(0);
    expect(axisSpan(11, 14).low).toBeGreaterThan(5);
    expect(axisSpan(-4, 10).low).toBeLessThan(-4);
  });
});
