import type { DamageView, RecordingView } from '../../core/wire/messages.ts';
import type { EndCause, TraceRecord } from '../../core/tracefile/record.ts';
import { inOrder, shifted, traceTimeS } from '../../core/sample-blocks.ts';
import { clockFacts, damageSince, noteRange } from './capture-record.ts';
import type { Before, Capture, Recorded, RecordingFacts } from './types.ts';

/** A piece of the seconds before that is worth a flush of its own. */
const FLUSH_ROWS = 16_384;

/** A recording with its trace open: puts live time into trace time. */
export class Running {
  readonly capture: Capture;
  /** live time of trace time 0 */
  readonly startS: number;
  readonly stopWhenAsleep: boolean;
  readonly #title: string;
  readonly #damage: DamageView;
  readonly #onMarkFault: (error: unknown) => void;

  constructor(capture: Capture, startS: number, facts: RecordingFacts, stopWhenAsleep: boolean, onMarkFault: (error: unknown) => void) {
    this.capture = capture;
    this.startS = startS;
    this.stopWhenAsleep = stopWhenAsleep;
    this.#title = facts.settings?.title ?? '';
    this.#damage = facts.damage;
    this.#onMarkFault = onMarkFault;
  }

  get view(): RecordingView {
    const { jobId, traceId, writer } = this.capture;
    return { jobId, traceId, title: this.#title, startS: this.startS, samples: writer.samples, bytes: writer.bytes };
  }

  /** The seconds before can be more than the writer keeps waiting at once. */
  async putBefore({ blocks, gaps, marks }: Before): Promise<void> {
    for (const piece of inOrder(blocks, gaps)) {
      this.put(piece);
      if ('timeS' in piece && piece.timeS.length >= FLUSH_ROWS) await this.capture.writer.flush();
    }
    for (const mark of marks) this.put(mark);
  }

  put(item: Recorded): void {
    const { writer } = this.capture;
    if ('now' in item) noteRange(writer.record, item.before, item.now, item.atS - this.startS);
    else if ('kind' in item) writer.mark({ ...item, timeS: traceTimeS(item.timeS, this.startS), ...(item.endS === undefined ? {} : { endS: traceTimeS(item.endS, this.startS) }) }).catch(this.#onMarkFault);
    else if ('endS' in item) writer.gap({ startS: traceTimeS(item.startS, this.startS), endS: traceTimeS(item.endS, this.startS) });
    else writer.append(shifted(item, this.startS));
  }

  finish(facts: RecordingFacts, cause: EndCause, text: string): Promise<TraceRecord> {
    const { writer } = this.capture;
    writer.record.damage = damageSince(this.#damage, facts.damage);
    writer.record.clock = clockFacts(facts.clock);
    return writer.finish(cause, text);
  }
}
