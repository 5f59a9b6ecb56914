import type { FromPage } from '../../core/wire/messages.ts';
import { language } from '../../core/present/language.ts';
import { messageOf } from '../errors.ts';
import type { Recorder } from '../recording/recorder.ts';
import type { Hub } from './hub.ts';

const words = language.daemon.running.commands;

type Command = Exclude<FromPage, { type: 'join' | 'controls' }>;

/** Does what a page asks; the answer is null, or a sentence why not. What changes while a recording runs would spoil it, and is refused. */
export class Commands {
  readonly #hub: Hub;
  readonly #recorder: Recorder;
  #choosing = false;

  constructor(hub: Hub, recorder: Recorder) {
    this.#hub = hub;
    this.#recorder = recorder;
  }

  do(command: Command): Promise<string | null> | string | null {
    switch (command.type) {
      case 'test':
        this.#hub.test.choose(command.settings);
        return null;
      case 'job':
        this.#hub.test.chooseJob(command.jobId);
        return null;
      case 'record':
        if (command.do === 'start' && this.#hub.test.asksForJob) return language.together.job.refusal;
        return command.do === 'start' ? this.#recorder.start() : this.#recorder.stop('stopped');
      case 'arm':
        if (command.arm !== null && this.#hub.test.asksForJob) return language.together.job.refusal;
        return this.#recorder.arm(command.arm);
      case 'mark':
        return this.#mark(command);
      case 'zero':
        if (this.#recorder.busy) return language.pages.zero.recording;
        return this.#hub.setZero(command.do);
      case 'source': {
        if (command.do === 'choose') return this.#choose(command.spec);
        const answer = this.#hub.feed.control(command);
        return answer.ok ? null : answer.text;
      }
    }
  }

  /** A moment of the past lies inside what is recorded, else it would be in no file though the page shows it. */
  #mark({ kind, label, atS, endS }: Extract<Command, { type: 'mark' }>): string | null {
    if ((kind === 'stretch') !== (endS !== undefined) || (endS !== undefined && !(atS !== undefined && endS > atS))) return language.pages.marks.noStretch;
    if (atS !== undefined && (endS ?? atS) > this.#hub.nowS) return language.pages.marks.notYet;
    const recordedFromS = this.#recorder.startS;
    if (atS !== undefined && recordedFromS !== null && atS < recordedFromS) return language.pages.marks.beforeRecording;
    this.#hub.mark(kind, label, atS, endS);
    return null;
  }

  async #choose(spec: string): Promise<string | null> {
    if (this.#recorder.busy) return words.aRecordingIsRunning;
    if (this.#choosing) return words.anotherSourceIsBeing;
    this.#choosing = true;
    try {
      await this.#hub.feed.use(spec);
      return null;
    } catch (error) {
      return messageOf(error);
    } finally {
      this.#choosing = false;
    }
  }
}
