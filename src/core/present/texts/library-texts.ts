import type { UsualCurrents } from '../../analysis/compare/known-good/types.ts';

/** The library of usual currents: what a person knows of a circuit, beside what is learnt from traces. */
export interface LibraryTexts {
  /** in the set-up */
  readonly pick: string;
  readonly none: string;
  readonly noneYet: string;
  readonly open: string;
  readonly others: string;
  readonly figures: Readonly<Record<keyof UsualCurrents, string>>;
  /** the same in a sentence; `range` has both ends with units */
  readonly said: Readonly<Record<keyof UsualCurrents, (range: string) => string>>;
  readonly range: (low: string, high: string) => string;
  readonly at: (place: string) => string;
  /** the form */
  readonly newName: string;
  readonly changeName: string;
  readonly intro: string;
  readonly circuit: string;
  readonly circuitExample: string;
  readonly vehicleType: string;
  readonly vehicleExample: string;
  readonly place: string;
  readonly placeExample: string;
  readonly from: (figure: string) => string;
  readonly upTo: string;
  readonly asleepHelp: string;
  readonly nameFirst: string;
  readonly oneCurrent: string;
  readonly bothEnds: (figure: string) => string;
  readonly save: string;
  readonly saving: string;
  readonly cancel: string;
  /** the list */
  readonly empty: string;
  readonly enter: string;
  readonly typed: string;
  readonly exportOne: string;
  readonly exportAll: string;
  readonly importFile: string;
  readonly importing: string;
  readonly fileField: string;
  readonly took: (taken: number, had: number) => string;
  readonly removed: (circuit: string) => string;
  readonly undo: string;
  readonly useAsleep: string;
  readonly nightLimit: (limit: string) => string;
}
