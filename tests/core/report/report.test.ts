import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { axisSpan, timeTicks, valueTicks } from '../../../src/core/report/axis.ts';
import type { ReportAudience, ReportInput } from '../../../src/core/report/input.ts';
import { html } from '../../../src/core/report/markup.ts';
import { renderReport } from '../../../src/core/report/report.ts';
import { actuationResult, drainResult, jobRecord, reportTrace } from './examples.ts';

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

  it('escapes whatever strangers wrote, wherever it stands', () => {
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
    for (const words of ['Stalled', 'ran, then stood still', 'Check next', 'Free the slide', 'Doubt of the sensor', 'abc123', 'Only the forward direction was worked', 'airbag', 'service information']) {
      expect(text).toContain(words);
    }
  });

  it('for the customer keeps to plain words and one picture', () => {
    const text = renderReport(input('customer'));
    expect(text.match(/<svg/g)).toHaveLength(1);
    expect(text).not.toContain('SHA-256');
    expect(text).toContain('Stalled');
  });

  it('breaks the line of a picture where a gap is, and nowhere else', () => {
    const whole = renderReport(input('file'));
    const trace = reportTrace(actuationResult());
    const broken = renderReport(input('file', { traces: [{ ...trace, gaps: [{ startS: 2, endS: 3 }] }] }));
    const moves = (text: string): number => /class="current" d="([^"]*)"/.exec(text)![1]!.match(/M/g)!.length;
    expect(moves(whole)).toBe(1);
    expect(moves(broken)).toBe(2);
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
