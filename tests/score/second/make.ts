import type { Trace } from '../../../src/core/trace.ts';
import { bounceOf, type Feed } from './circuit.ts';
import { dice } from './dice.ts';
import { makeMachine } from './machine.ts';
import { makeMeter, read } from './meter.ts';
import { roll } from './roll.ts';
import { makeStory, STORY_NAMES } from './stories.ts';
import { tellTruth, type Truth } from './truth.ts';

export interface SecondCase {
  readonly seed: number;
  readonly about: string;
  readonly trace: Trace;
  readonly truth: Truth;
  readonly limitsA: readonly [number, number] | null;
  /** null without voltage, and where the trace cannot show it */
  readonly voltageAt: 'motor' | 'battery' | null;
}

/** The same seed gives the same case, to the bit. */
export function makeCase(seed: number): SecondCase {
  const d = dice(seed);
  const m = makeMachine(d);
  const story = makeStory(d, m, STORY_NAMES[seed % STORY_NAMES.length]);
  const batteryShare = d.between(0.15, 0.6);
  const feed: Feed = {
    batteryOhm: m.ohm * story.feedShare * batteryShare, wireOhm: m.ohm * story.feedShare * (1 - batteryShare),
    braked: d.chance(0.6), openMotor: story.openMotor, deadSwitch: story.deadSwitch,
    protector: story.protector === null ? null : { kind: story.protector, ohm: m.ohm * 0.03, tripS: d.between(1.5, 4) },
    losses: story.losses,
  };
  const track = roll(m, feed, {
    lengthS: story.lengthS, presses: story.presses, bounces: story.presses.map(() => bounceOf(d)),
    lowStopRad: story.lowStopRad, highStopRad: story.highStopRad, patch: story.patch, heft: d.between(0.8, 1.15),
  });
  const first = story.presses[0];
  const last = story.presses[story.presses.length - 1];
  const fromS = story.cutStart ? first.startS + (first.endS - first.startS) * d.between(0.3, 0.7) : 0;
  const toS = story.cutEnd ? last.startS + (last.endS - last.startS) * d.between(0.5, 0.8) : story.lengthS;
  const voltage = story.voltageAt === 'any' ? d.pick(['none', 'none', 'motor', 'battery'] as const) : story.voltageAt;
  let peakA = 0;
  for (const amps of track.currentA) peakA = Math.max(peakA, Math.abs(amps));
  const meter = makeMeter(d, peakA, m.runA, toS - fromS);
  const limitsA = story.limits === null ? null : ([m.runA * story.limits[0], m.runA * story.limits[1]] as const);
  const reading = read(d, meter, track, fromS, toS, voltage, d.chance(0.5));
  const truth = tellTruth(m, feed, story, track, meter, reading, fromS, toS, voltage, limitsA);
  const about = `${story.name} ${m.load.kind} ${meter.kind} ${meter.rateHz} S/s, ${m.voltV.toFixed(1)} V ${voltage}, run ${m.runA.toFixed(2)} stall ${m.stallA.toFixed(1)} A, noise ${(1000 * meter.noiseA).toFixed(0)} step ${(1000 * meter.stepA).toFixed(0)} hum ${(1000 * meter.humA).toFixed(0)} mA, ripple ${(100 * m.rippleShare).toFixed(2)} %`;
  const voltageAt = voltage === 'none' || story.deadSwitch ? null : voltage;
  return { seed, about, trace: reading.trace, truth, limitsA, voltageAt };
}
