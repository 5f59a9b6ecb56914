import { join } from 'node:path';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';
import type { ToPage } from '../../../src/core/wire/messages.ts';
import { Recorder } from '../../../src/daemon/recording/recorder.ts';
import type { Capture, RecorderParts, RecordingFacts } from '../../../src/daemon/recording/types.ts';
import { TraceWriter } from '../../../src/daemon/store/samples/writing/trace-writer.ts';
import { LOGGER, temporaryFolder } from '../stand.ts';

const NO_DAMAGE = { badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 };

/** A recorder with nothing around it, and everything it says and asks. */
export interface Desk {
  readonly recorder: Recorder;
  readonly feed: (block: SampleBlock) => void;
  /** lets the trace folders be made that were asked for */
  readonly letGo: () => void;
  /** folders of the traces made, and their captures */
  readonly traces: string[];
  readonly captures: Capture[];
  /** what the recorder is told when it asks; to be changed */
  readonly facts: { -readonly [Name in keyof RecordingFacts]: RecordingFacts[Name] };
  /** seconds asked for from before the start */
  readonly asked: number[];
  readonly said: Extract<ToPage, { type: 'recording' }>[];
  readonly notices: Extract<ToPage, { type: 'notice' }>[];
  readonly ends: { cause: string; text: string; samples: number | null }[];
  readonly refused: string[];
  /** what the folders are made for */
  readonly made: Parameters<RecorderParts['create']>[0][];
}

/** `held`: trace folders are made only when the test lets them go. */
export function desk({ held = true }: { held?: boolean } = {}): Desk {
  const folder = temporaryFolder();
  const waiting: (() => void)[] = [];
  let last: SampleBlock | null = null;
  const lists = { traces: [] as string[], captures: [] as Capture[], asked: [] as number[], said: [] as Desk['said'], notices: [] as Desk['notices'], ends: [] as Desk['ends'], refused: [] as string[], made: [] as Desk['made'] };
  const facts: Desk['facts'] = {
    spec: 'hand:1', nowS: 0, state: 'live', settings: null, logger: LOGGER, zero: null, damage: NO_DAMAGE, clock: null,
    before: () => ({ startS: last?.timeS[0] ?? 0, blocks: last === null ? [] : [last], gaps: [], marks: [] }),
  };
  const recorder = new Recorder({
    clock: { nowMs: () => 0, date: () => new Date('2026-03-02T08:00:00Z') },
    create: async (known, _startS, limits) => {
      if (held) await new Promise<void>((resolve) => waiting.push(resolve));
      lists.made.push(known);
      const path = join(folder, `trace-${lists.traces.length}`);
      lists.traces.push(path);
      const capture = { jobId: 'unfiled', traceId: path, writer: await TraceWriter.create(path, emptyTraceRecord('t', '2026-03-02T08:00:00Z', 'test'), { ...limits, durable: false }) };
      lists.captures.push(capture);
      return capture;
    },
    send: (message) => void (message.type === 'recording' ? lists.said.push(message) : message.type === 'notice' && lists.notices.push(message)),
    onStart: () => undefined,
    onEnding: () => undefined,
    onEnd: ({ cause, text }, record) => void lists.ends.push({ cause, text, samples: record?.samples ?? null }),
    onRefused: (text) => void lists.refused.push(text),
  });
  recorder.attach(() => ({ ...facts, nowS: last?.timeS.at(-1) ?? 0, before: (seconds) => (lists.asked.push(seconds), facts.before(seconds)) }));
  return {
    recorder, facts, ...lists,
    feed(block) {
      last = block;
      recorder.samples(block);
    },
    letGo: () => waiting.splice(0).forEach((go) => go()),
  };
}
