import { describe, expect, it } from 'vitest';
import { cli } from './run.ts';

interface Answer {
  readonly allowed_a: number;
  readonly sensors: readonly { readonly name: string; readonly kind: string; readonly proves: boolean | null; readonly half_width_a: number; readonly because: readonly string[]; readonly source: string }[];
}

async function asked(...args: string[]): Promise<Answer> {
  const run = await cli(['sensor', ...args, '--json']);
  expect(run, run.err).toMatchObject({ code: 0 });
  return JSON.parse(run.out) as Answer;
}

describe('sensor', () => {
  it('says that no Hall sensor of the table can prove 25 mA, and that a shunt of enough range can', async () => {
    const { sensors } = await asked('--for', 'drain', '--current', '0.025');
    for (const { name, kind, proves } of sensors) if (kind === 'hall') expect(proves, name).toBe(false);
    const shunt = sensors.find(({ name }) => name === 'shunt-75mv-50a')!;
    expect(shunt.proves).toBe(true);
    // INA226 (SBOS547B): 2.5 uV over 1.5 mohm is a step of 1.67 mA, which leaves 0.29 of it (JCGM 100:2008, F.2.2.1): 0.94 mA at 95 %;
    // 0.1 uV a degree over ten degrees is 0.67 mA, 0.75 mA at 95 %; gain 0.35 % of 25 mA, 0.1 mA
    expect(shunt.half_width_a).toBeCloseTo(Math.hypot(0.94e-3, 0.75e-3, 0.1e-3), 5);
    expect(sensors[0]!.proves).toBe(true);
  });

  it('refuses the fine shunt where more current may flow than its range, and takes it where not', async () => {
    const proves = async (...most: string[]) => (await asked('--for', 'drain', ...most)).sensors.find(({ name }) => name === 'shunt-75mv-5a')!.proves;
    expect(await proves()).toBe(false);
    expect(await proves('--most', '3')).toBe(true);
  });

  it('cannot tell where the data sheet page that was read does not say', async () => {
    const { sensors } = await asked('--for', 'drain', '--current', '1');
    const fluxgate = sensors.find(({ kind }) => kind === 'fluxgate')!;
    expect(fluxgate.proves).toBeNull();
    expect(fluxgate.because[0]).toMatch(/^cannot tell/);
    expect(sensors.every(({ source }) => source.length > 5)).toBe(true);
  });

  it('takes a Hall sensor for a motor, and not one whose range ends below its start', async () => {
    const { sensors } = await asked('--for', 'actuation', '--current', '8');
    const of = (name: string) => sensors.find((one) => one.name === name)!.proves;
    expect(of('hais-50')).toBe(true);
    expect(of('acs712-5')).toBe(false);
  });

  it('prints a table for people and refuses another word', async () => {
    expect((await cli(['sensor', '--for', 'drain'])).out).toMatch(/^sensor +kind +range +proves 50\.0 mA +because/);
    expect(await cli(['sensor', '--for', 'leak'])).toMatchObject({ code: 2 });
    expect(await cli(['sensor'])).toMatchObject({ code: 2 });
  });
});
