import type { Press, Span } from './circuit.ts';
import type { Dice } from './dice.ts';
import type { Machine } from './machine.ts';

/** One test as somebody works the switch, and what is wrong with the machine. */
export interface Story {
  readonly name: StoryName;
  readonly lengthS: number;
  readonly presses: readonly Press[];
  readonly losses: readonly Span[];
  readonly lowStopRad: number;
  readonly highStopRad: number;
  readonly patch: { readonly fromRad: number; readonly toRad: number; readonly heft: number } | null;
  readonly protector: 'polymer' | 'bimetal' | null;
  readonly openMotor: boolean;
  readonly deadSwitch: boolean;
  /** feed resistance as a share of the motor's; ordinary feeds are 0.02 to 0.12 */
  readonly feedShare: number;
  readonly voltageAt: 'motor' | 'battery' | 'any';
  /** run limits as factors of the true running level */
  readonly limits: readonly [number, number] | null;
  /** trace begins or ends in mid-actuation */
  readonly cutStart: boolean;
  readonly cutEnd: boolean;
  /** null where more than one verdict would be right */
  readonly verdict: string | null;
}

export const STORY_NAMES = [
  'normal', 'normal', 'pair', 'pair', 'stalled', 'stalled', 'jammed', 'repeated', 'locked', 'locked', 'intermittent', 'intermittent', 'heavy', 'light',
  'dead', 'unpowered', 'starved', 'polymer', 'bimetal', 'patch', 'patch', 'plugged', 'mid-start', 'mid-end', 'blips', 'sparse',
] as const;
export type StoryName = (typeof STORY_NAMES)[number];

const FREE = 1e9;

export function makeStory(dice: Dice, m: Machine, name: StoryName): Story {
  const leadS = dice.between(0.4, 2);
  const longS = (): number => dice.scale(1.3, 7);
  const first: 1 | -1 = dice.chance(0.6) ? 1 : -1;
  const line = (durations: readonly number[], pauses: () => number, alternate = true): Press[] => {
    let atS = leadS;
    return durations.map((durationS, index) => {
      const press: Press = { startS: atS, endS: atS + durationS, side: alternate && index % 2 === 1 ? (-first as 1 | -1) : first };
      atS += durationS + pauses();
      return press;
    });
  };
  const rest = (): number => dice.between(0.5, 2.5);
  const base = {
    name, losses: [], lowStopRad: -FREE, highStopRad: FREE, patch: null, protector: null, openMotor: false, deadSwitch: false,
    feedShare: dice.between(0.02, 0.12), voltageAt: 'any', limits: null, cutStart: false, cutEnd: false, verdict: 'normal',
  } as const;
  const finish = (presses: Press[], more: Partial<Story> = {}): Story => ({ ...base, presses, lengthS: presses[presses.length - 1].endS + dice.between(0.3, 1.5), ...more });
  const stopAfter = (press: Press, share: number): { lowStopRad: number; highStopRad: number } => {
    const travel = m.runRad * 0.85 * (press.endS - press.startS) * share;
    return press.side > 0 ? { lowStopRad: -FREE, highStopRad: travel } : { lowStopRad: -travel, highStopRad: FREE };
  };
  switch (name) {
    case 'normal':
      return finish(line([longS()], rest), { limits: dice.chance(0.4) ? [0.7, 1.4] : null });
    case 'pair':
      return finish(line(Array.from({ length: dice.whole(2, 5) }, longS), rest));
    case 'stalled': {
      const presses = line([longS(), longS()].slice(0, dice.whole(1, 2)), rest);
      return finish(presses, { ...stopAfter(presses[0], dice.between(0.3, 0.75)), verdict: 'stalled' });
    }
    case 'jammed': {
      // an obstruction late in a long press: short standstill
      const presses = line([dice.between(3, 9)], rest);
      return finish(presses, { ...stopAfter(presses[0], dice.between(0.8, 0.9)), verdict: 'stalled' });
    }
    case 'repeated': {
      const presses = line([dice.between(1.5, 4), ...Array.from({ length: dice.whole(2, 5) }, () => dice.between(0.25, 0.7))], () => dice.between(0.4, 1.2), false);
      return finish(presses, { ...stopAfter(presses[0], dice.between(0.4, 0.7)), verdict: null });
    }
    case 'locked': {
      const presses = line(Array.from({ length: dice.whole(1, 4) }, () => dice.scale(0.4, 4)), rest, dice.chance(0.5));
      const slack = dice.between(0, 0.8);
      return finish(presses, { lowStopRad: -slack, highStopRad: slack, verdict: 'locked' });
    }
    case 'intermittent': {
      const presses = line([dice.between(3, 9)], rest);
      const losses: Span[] = [];
      for (let atS = presses[0].startS + dice.between(0.6, 1.2); atS < presses[0].endS - 0.5; atS += dice.between(0.4, 2)) {
        losses.push({ startS: atS, endS: atS + dice.scale(0.012, 0.15) });
        atS = losses[losses.length - 1].endS;
      }
      return finish(presses, { losses, verdict: losses.length > 0 ? 'intermittent' : 'normal' });
    }
    case 'heavy':
      return finish(line([longS(), longS()], rest), { limits: [dice.between(0.3, 0.4), dice.between(0.5, 0.72)], verdict: 'heavy' });
    case 'light':
      return finish(line([longS(), longS()], rest), { limits: [dice.between(1.4, 2), dice.between(2.3, 3)], verdict: 'light' });
    case 'dead':
      return finish(line([dice.scale(0.6, 4), dice.scale(0.6, 4)], rest), { openMotor: true, voltageAt: 'motor', verdict: 'dead' });
    case 'unpowered':
      return finish(line([dice.scale(0.6, 4), dice.scale(0.6, 4)], rest), { deadSwitch: true, voltageAt: 'motor', verdict: 'unpowered' });
    case 'starved':
      return finish(line([longS(), longS()].slice(0, dice.whole(1, 2)), rest), { feedShare: dice.between(1.3, 2.2), voltageAt: 'motor', verdict: 'starved' });
    case 'polymer':
    case 'bimetal': {
      const presses = line([dice.between(8, 18)], rest);
      return finish(presses, { ...stopAfter(presses[0], dice.between(0.08, 0.2)), protector: name, verdict: 'stalled' });
    }
    case 'patch': {
      const presses = line([dice.between(4, 9), longS()], rest);
      const travel = m.runRad * 0.8 * (presses[0].endS - presses[0].startS) * presses[0].side;
      const [near, far] = [travel * dice.between(0.15, 0.4), travel * dice.between(0.45, 0.7)];
      const heft = (m.stallA / m.runA) * dice.between(0.45, 0.68);
      return finish(presses, { patch: { fromRad: Math.min(near, far), toRad: Math.max(near, far), heft: Math.max(1.2, heft) } });
    }
    case 'plugged':
      return finish(line(Array.from({ length: dice.whole(2, 4) }, () => dice.between(1.2, 4)), () => 0));
    case 'mid-start':
      return finish(line([longS(), longS()], rest), { cutStart: true });
    case 'mid-end':
      return finish(line([longS(), longS()], rest), { cutEnd: true });
    case 'blips':
      return finish(line(Array.from({ length: dice.whole(3, 8) }, () => dice.scale(0.06, 0.3)), () => dice.between(0.4, 1.5)));
    case 'sparse':
      return finish(line([longS(), longS()], () => dice.between(12, 35)), { lengthS: 60 });
  }
}
