import { describe, expect, it } from 'vitest';
import { parseColumns } from '../../../src/core/decode/columns.ts';
import { lineLayout } from '../../../src/core/decode/number-line.ts';

describe('a column list', () => {
  it.each([
    ['time:ms,current:mA,voltage:mV', [['time', null, 1e-3], ['current', null, 1e-3], ['voltage', null, 1e-3]]],
    ['current:mA', [['current', null, 1e-3]]],
    ['current', [['current', null, 1]]],
    ['time=t:us,current=I motor:A', [['time', 't', 1e-6], ['current', 'I motor', 1]]],
    ['current="I, left: sum":mA, skip, voltage=4', [['current', 'I, left: sum', 1e-3], ['skip', null, 1], ['voltage', '4', 1]]],
    ['current=2:mA', [['current', '2', 1e-3]]],
    ['time=a:b:min,current=x', [['time', 'a:b', 60], ['current', 'x', 1]]],
  ])('%s is read', (text, wanted) => {
    const answer = parseColumns(text);
    expect(answer.ok && answer.columns.map(({ role, name, factor }) => [role, name, factor])).toEqual(wanted);
  });

  it.each([
    ['', 'cannot be read'],
    ['volts:V', 'must be time, current, voltage or skip'],
    ['time:ms', 'has no current'],
    ['current:V', 'not a unit of current'],
    ['current:amps', 'it knows A, mA, uA'],
    ['current,current', 'twice'],
    ['current="open', 'never closed'],
    ['current=', 'no name after it'],
    [`current=${'x'.repeat(3000)}`, 'characters long'],
    ['skip:A,current', 'no unit'],
  ])('"%s" is refused in words', (text, words) => {
    const answer = parseColumns(text);
    expect(answer.ok ? '' : answer.text).toContain(words);
  });

  it('in lines takes names as numbers of columns', () => {
    const answer = parseColumns('voltage=3:mV,current=2:mA');
    expect(answer.ok && lineLayout(answer.columns)).toMatchObject({ fields: 3, timeAt: -1, currentAt: 1, voltageAt: 2 });
    const named = parseColumns('current=amps,voltage=2');
    expect(named.ok && lineLayout(named.columns)).toContain('have no header');
    const both = parseColumns('current=I,voltage=I');
    expect(both.ok && lineLayout(both.columns)).toContain('named twice');
    const twice = parseColumns('current=1,voltage=1');
    expect(twice.ok && lineLayout(twice.columns)).toContain('named twice');
  });
});
