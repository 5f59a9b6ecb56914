import type { PressTruth, Situation } from '../score/situations/motor/truth/types.ts';

/** what an analysis that knows the truth would print */
export function truthful(situation: Situation, change: (press: PressTruth) => object = () => ({})): Record<string, unknown> {
  const { truth } = situation;
  return {
    problems: truth.problemsSure.map((code) => ({ code })),
    verdict: { finding: truth.verdictRight[0], basis: 'itself' },
    load: { kind: truth.kinds[0] },
    background_a: truth.backgroundA,
    actuations: truth.presses.filter((press) => !press.optional).map((press) => ({
      start_s: press.startS, end_s: press.endS, direction: press.sign > 0 ? 'forward' : 'reverse', finding: press.right[0], ...(press.cut === null ? {} : { cut: press.cut }),
      stalls: press.stalls.map((stall) => ({ start_s: stall.startS, end_s: stall.endS })), dropouts: press.breaks.map((gone) => ({ start_s: gone.startS, end_s: gone.endS })),
      events: press.events.map((event) => ({ code: event.code, at_s: event.atS })), steps: press.steps.map((step) => ({ at_s: step.atS, change_a: step.changeA, low_a: step.changeA, high_a: step.changeA })),
      ...(press.beat === null ? {} : { beat: { period_s: press.beat.periodS } }), ...(press.chopped === null ? {} : { chopped: { frequency_hz: press.chopped.hz, duty: press.chopped.duty, mean_a: press.chopped.meanA } }),
      ...change(press),
    })),
  };
}
