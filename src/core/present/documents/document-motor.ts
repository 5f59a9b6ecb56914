import type { LiveAnalysis } from '../../analysis/live.ts';
import type { InrushReading, PressReading } from '../../analysis/motor/codes.ts';
import { createLiveMotor } from '../../analysis/motor/live-analysis.ts';
import type { MotorReading } from '../../analysis/motor/reading.ts';
import type { ActuationOptions } from '../../analysis/options.ts';
import type { Actuation, ActuationResult, Inrush } from '../../analysis/results.ts';
import { language } from '../language.ts';
import type { MotorWords } from '../texts/motor-words.ts';
import { runsNearByGain } from '../../analysis/uncertainty/near-limit.ts';
import { nearByGainLines, nearLimitLines } from './near-limit-lines.ts';
import { sentence } from '../texts/sentences.ts';
import type { Words } from '../words.ts';

/** Motor test with its sentences, fed block by block, whether it is being recorded or was: see createLiveMotor for what is kept. */
export function createLiveActuation(options: ActuationOptions, windowSamples?: number, keptPresses?: number): LiveAnalysis<ActuationResult> {
  const live = createLiveMotor(options, windowSamples, keptPresses);
  return { push: live.push, gap: live.gap, mark: live.mark, result: () => documentMotor(live.result(), options, language) };
}

/** The public document: codes become sentences. */
function documentMotor(reading: MotorReading, options: ActuationOptions, { motor, calibration }: Words): ActuationResult {
  const { because, next, ...verdict } = reading.verdict;
  return {
    ...reading,
    problems: reading.problems.map((problem) => ({ code: problem.code, text: sentence(motor.problems, problem) })),
    verdict: { ...verdict, because: [...because.map((said) => sentence(motor.because, said)), ...nearLimitLines(reading.near_limits, calibration), ...nearByGainLines(runsNearByGain(reading.actuations, options), calibration)], next: next.map((code) => motor.next[code]) },
    load: { kind: reading.load.kind, because: motor.load[reading.load.because] },
    actuations: reading.actuations.map((press) => documentPress(press, motor)),
  };
}

function documentPress({ inrush, events, ...press }: PressReading, motor: MotorWords): Actuation {
  return {
    ...press,
    inrush: inrush === null ? null : documentInrush(inrush, motor),
    ...(events === undefined ? {} : { events: events.map((event) => ({ at_s: event.atS, code: event.code, text: sentence(motor.events, event) })) }),
  };
}

function documentInrush({ no_fit: noFit, ...inrush }: InrushReading, { noFit: sentences }: MotorWords): Inrush {
  return noFit === undefined ? inrush : { ...inrush, no_fit: sentence(sentences, noFit) };
}
