import { describe, expect, it } from 'vitest';
import { parseSpec } from '../../src/daemon/sources/spec.ts';
import { COLUMN_CHOICES, fieldsOf, withColumns } from '../../web/test/line-columns.ts';

describe('columns chosen for a logger whose lines are not understood', () => {
  it('come from the line with most fields', () => {
    expect(fieldsOf(['boot', 'T=21, 1.5,12.4 ,x', '1'])).toEqual(['T=21', '1.5', '12.4', 'x']);
  });

  it('make a source that the daemon reads as meant, and keep the speed', () => {
    const spec = withColumns('serial:/dev/ttyACM0?baud=9600&columns=current', ['skip', 'time:ms', 'current:mA', 'voltage:V'])!;
    const parsed = parseSpec(spec);
    expect(parsed).toMatchObject({ kind: 'serial', path: '/dev/ttyACM0', baud: 9600 });
    expect(parsed.kind === 'serial' ? parsed.columns!.map(({ role, factor }) => [role, factor]) : []).toEqual([['skip', 1], ['time', 1e-3], ['current', 1e-3], ['voltage', 1]]);
  });

  it('every choice is one that the daemon knows', () => {
    for (const choice of COLUMN_CHOICES) {
      if (!choice.startsWith('current')) expect(() => parseSpec(withColumns('serial:COM5', [choice, 'current:A'])!)).not.toThrow();
    }
  });

  it('are refused without exactly one current, or where there is no port', () => {
    expect(withColumns('serial:COM5', ['time:s', 'voltage:V'])).toBe(null);
    expect(withColumns('serial:COM5', ['current:A', 'current:mA'])).toBe(null);
    expect(withColumns('sim:side-step-jam', ['current:A'])).toBe(null);
  });
});
