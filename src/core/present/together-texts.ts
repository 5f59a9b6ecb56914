/** Several pages, several people, one computer: who works the logger, whose version of a job stands, which tablets are let in. */
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
}
