/** Several pages, several people, one computer: who works the logger, whose version of a job counts, which tablets are let in. */
export interface TogetherTexts {
  /** how a page is named to another one */
  readonly here: string;
  readonly tablet: (name: string) => string;
  readonly elsewhere: (address: string) => string;
  /** refused: another page holds the controls; null where it has just gone */
  readonly notYours: (holder: string | null) => string;
  readonly controls: {
    readonly name: string;
    readonly watching: (holder: string) => string;
    readonly free: string;
    readonly take: string;
    readonly ask: string;
    readonly waiting: (holder: string) => string;
    readonly declined: (holder: string) => string;
    readonly askedBy: (who: string) => string;
    readonly handOver: string;
    readonly keep: string;
    readonly viewOnly: string;
  };
  readonly job: {
    readonly name: string;
    readonly question: (job: string) => string;
    readonly why: string;
    readonly yes: string;
    readonly none: string;
    readonly another: string;
    /** refused: nobody has said yet whether the job of before the restart is still the one */
    readonly refusal: string;
  };
  readonly clash: {
    readonly refusal: string;
    readonly name: string;
    readonly title: string;
    readonly text: string;
    readonly theirs: string;
    readonly mine: string;
    readonly both: string;
    readonly empty: string;
    readonly save: string;
  };
  readonly tablets: {
    readonly title: string;
    readonly off: string;
    readonly offHow: string;
    readonly elsewhere: string;
    readonly viewOnly: string;
    readonly add: string;
    readonly nameField: string;
    readonly nameExample: string;
    readonly may: Readonly<Record<'view' | 'operate', { readonly short: string; readonly long: string }>>;
    readonly letIn: string;
    readonly open: (name: string) => string;
    readonly once: string;
    readonly scan: string;
    readonly another: string;
    readonly done: string;
    readonly list: string;
    readonly none: string;
    readonly since: (date: string) => string;
    readonly seen: (date: string) => string;
    readonly neverSeen: string;
    readonly shutOut: (name: string) => string;
    readonly reallyShutOut: (name: string) => string;
    readonly shutOutDone: (name: string) => string;
    readonly install: string;
    readonly installHere: string;
    readonly installThere: string;
  };
}
