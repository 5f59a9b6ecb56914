import type { TestSettings, ToPage } from '../../core/wire/messages.ts';

interface ChosenTestParts {
  /** the job that recordings went to before the daemon was started anew; it has to be confirmed */
  readonly jobId: string | null;
  readonly onJob: (jobId: string | null) => void;
  /** what is measured, or by which options it is read, is another now */
  readonly onOther: () => void;
  readonly send: (message: ToPage) => void;
}

/** Which test is made, how it is read, and to which job its recordings go: chosen by people, and sent to every page. */
export class ChosenTest {
  readonly #parts: ChosenTestParts;
  #settings: TestSettings;
  /** the job is of before the restart, and nobody has said that it still is the one */
  #askJob: boolean;

  constructor(parts: ChosenTestParts) {
    this.#parts = parts;
    this.#settings = { test: 'actuation', actuation: {}, drain: {}, jobId: parts.jobId, title: '' };
    this.#askJob = parts.jobId !== null;
  }

  get settings(): TestSettings {
    return this.#settings;
  }

  /** whether a recording would go to a job that nobody has chosen since the daemon was started */
  get asksForJob(): boolean {
    return this.#askJob;
  }

  choose(settings: TestSettings): void {
    const before = this.#settings;
    this.#settings = settings;
    // another job is a choice of its own
    if (before.jobId !== settings.jobId) this.#askJob = false;
    this.#parts.send(this.message());
    if (before.jobId !== settings.jobId) this.#parts.onJob(settings.jobId);
    // a name or a job changes nothing of what is measured
    if (settings.test !== before.test || JSON.stringify([settings.actuation, settings.drain]) !== JSON.stringify([before.actuation, before.drain])) this.#parts.onOther();
  }

  /** The job that recordings go to from now on: chosen, or confirmed after a restart. */
  chooseJob(jobId: string | null): void {
    this.#askJob = false;
    this.choose({ ...this.#settings, jobId });
  }

  /** A job that is gone takes no more recordings. */
  forgetJob(jobId: string): void {
    if (this.#settings.jobId === jobId) this.choose({ ...this.#settings, jobId: null });
  }

  /** A name is for one recording alone. */
  useUpTitle(): void {
    if (this.#settings.title !== '') this.choose({ ...this.#settings, title: '' });
  }

  message(): ToPage {
    return { type: 'test', settings: this.#settings, askJob: this.#askJob };
  }
}
