import type { TestKind } from '../../analysis/results.ts';

/** What the screens say beside findings: states of the reading, of the recording and of what a person asked for. */
export interface PagesTexts {
  readonly old: Readonly<Record<'no-readings' | 'no-word', {
    /** under a figure that is not of now; age in words, null when there never was a reading */
    readonly figure: (age: string | null) => string;
    /** over the chart that has stopped */
    readonly chart: (age: string | null) => string;
    /** in place of "Recording" */
    readonly recording: string;
    /** a line on top of the screen */
    readonly notice: string;
  }>>;
  /** the answers to "Set zero" */
  readonly zero: {
    readonly none: string;
    readonly notSending: string;
    readonly recording: string;
    readonly tooFew: (count: number, windowS: number) => string;
    readonly volts: (volts: number) => string;
    readonly moving: (by: string) => string;
    readonly tooFar: (zero: string, limit: string) => string;
    readonly done: (zero: string, noise: string) => string;
    readonly since: (moved: string, utc: string) => string;
  };
  readonly night: NightPanelTexts;
  readonly importing: ImportTexts;
  readonly lines: OddLinesTexts;
  readonly strip: StripTexts;
  readonly chart: ChartTexts;
  readonly marks: MarkTexts;
  readonly stretch: StretchTexts;
  readonly wide: WideTexts;
  readonly logger: LoggerTexts;
  readonly ports: PortsTexts;
  readonly source: SourceHeads;
  /** a screen whose script is on its way, or did not come */
  readonly screens: { readonly opening: string; readonly failed: string };
}

/** What a source is doing; its own sentence follows. */
type SourceHeads = Readonly<Record<'searching' | 'connecting' | 'live' | 'lost' | 'ended' | 'failed', string>>;

/** The serial devices of the computer. */
interface PortsTexts {
  readonly name: string;
  readonly none: string;
  readonly again: string;
  readonly looking: string;
  readonly use: Readonly<Record<'ours' | 'other' | 'free', string>>;
  readonly unknown: string;
  readonly ask: string;
  readonly asking: string;
  readonly read: string;
  readonly elsewhere: string;
  readonly typed: string;
  readonly connect: string;
  readonly busyHere: string;
}

/** What is known of the logger on the port. */
interface LoggerTexts {
  readonly name: string;
  readonly lines: string;
  readonly damaged: string;
  readonly kinds: Readonly<Record<'logger' | 'numbers', string>>;
  readonly facts: Readonly<Record<'kind' | 'serial' | 'firmware' | 'stated' | 'measured' | 'drift' | 'range' | 'zero' | 'damagedLines' | 'damagedNow' | 'arriving' | 'port' | 'lost' | 'restarts', string>>;
  readonly perSecond: (rate: string) => string;
  readonly ppm: (drift: string, uncertainty: string) => string;
  /** a rate that was measured before the readings stopped */
  readonly perSecondUntil: (rate: string, age: string) => string;
  /** since when no line has come */
  readonly noneFor: (silence: string) => string;
  readonly lastCame: (age: string) => string;
  /** counted since the source was chosen */
  readonly inAll: (count: string) => string;
  readonly notYet: string;
  readonly rangeUnknown: string;
  readonly noZero: string;
  readonly channel: (name: string) => string;
  readonly count: (step: string) => string;
  readonly noneYet: string;
  readonly linesArrive: string;
  readonly share: (percent: string) => string;
  /** much of what comes is damaged */
  readonly damagedMuch: (percent: string) => string;
  readonly losing: string;
  readonly how: string;
  readonly howSpeed: string;
  readonly howText: string;
}

/** The figures over the whole screen. */
interface WideTexts {
  readonly open: string;
  readonly name: string;
  readonly close: string;
  readonly none: string;
  readonly notRecording: string;
  readonly recording: (clock: string) => string;
}

/** Why a mark was not made. */
interface MarkTexts {
  readonly noStretch: string;
  readonly notYet: string;
  readonly beforeRecording: string;
  /** on the page: a mark now, and one at the moment that is held on the chart */
  readonly now: string;
  readonly atMoment: (moment: string) => string;
}

/** A measured stretch: its figures, and how it is kept. */
interface StretchTexts {
  readonly name: string;
  readonly kept: string;
  readonly counting: string;
  /** in the ribbon, for one without a name */
  readonly unnamed: string;
  readonly figures: Readonly<Record<'length' | 'mean' | 'min' | 'max' | 'peakToPeak' | 'charge' | 'volts' | 'frequency' | 'slope' | 'gap', string>>;
  readonly volts: (mean: string, min: string, max: string) => string;
  readonly noFrequency: string;
  readonly label: string;
  readonly keep: string;
  readonly rename: string;
  readonly remove: string;
  readonly close: string;
  /** live, while nothing is being recorded */
  readonly notRecorded: string;
  readonly save: string;
  readonly from: string;
  readonly to: string;
}

/** The chart and the line of all time under it. */
interface ChartTexts {
  readonly lane: string;
  /** behind the name of a limit out of sight */
  readonly beyond: Readonly<Record<'above' | 'below', string>>;
  /** what part of all time is shown, for the screen reader */
  readonly shown: (from: string, to: string, end: string) => string;
  /** the parts of time by what happened, on the line itself */
  readonly reach: Readonly<Record<'all' | 'recording' | 'key-off' | 'presses' | 'press' | 'now', (count: number) => string>>;
  readonly reachHint: Readonly<Record<'all' | 'recording' | 'key-off' | 'presses' | 'press' | 'now', (count: number) => string>>;
}

/** The night watch, and the band across the screen when a key-off test is not recorded. */
interface NightPanelTexts {
  readonly notRecording: string;
  readonly noReadings: string;
  readonly recordNow: string;
  readonly name: string;
  readonly sound: string;
  readonly recording: string;
  readonly asleep: string;
  readonly woken: string;
  readonly next: string;
  readonly no: string;
  readonly notYet: string;
  readonly settled: (time: string) => string;
  readonly whenever: string;
  readonly now: string;
  readonly since: (clock: string) => string;
  readonly at: (clock: string) => string;
  readonly last: (ago: string) => string;
  /** times of day of the newest wake-ups, newest first */
  readonly wokenAt: (times: string) => string;
  /** the same as times of the recording, where the night runs faster than the clock on the wall */
  readonly wokenAfter: (times: string) => string;
  readonly inAbout: (time: string) => string;
  readonly times: (count: number) => string;
  /** the browser keeps the screen on */
  readonly awake: string;
  /** it does not: what to set by hand */
  readonly stayAwake: string;
}

/** The line under the head of every screen. */
interface StripTexts {
  readonly name: string;
  readonly job: string;
  readonly noJob: string;
  readonly noJobShort: string;
  readonly unnamed: string;
  readonly open: string;
  readonly recordedInto: string;
  readonly virtual: string;
  readonly virtualLive: string;
  /** behind the name of a trace that is made up */
  readonly virtualTrace: string;
  readonly virtualReport: string;
  readonly recording: string;
  readonly notRecording: string;
  /** beside Record: the job a recording would go to */
  readonly into: (job: string) => string;
  readonly title: string;
  /** the second tap on Stop */
  readonly stopAnothers: string;
}

/** Lines arrive and none is a reading. */
interface OddLinesTexts {
  readonly title: string;
  readonly last: string;
  readonly column: (number: number, value: string) => string;
  /** beside the unit: what one of the printed numbers is in it */
  readonly scale: (unit: string) => string;
  readonly scaleHelp: string;
  readonly baud: string;
  readonly findBaud: string;
  readonly otherBaud: string;
  readonly choices: Readonly<Record<'skip' | 'time:s' | 'time:ms' | 'time:us' | 'current:A' | 'current:mA' | 'voltage:V' | 'voltage:mV', string>>;
  readonly use: string;
  readonly useBaud: string;
  /** nothing in the lines can be a reading */
  /** what to do about lines of which none is a reading */
  readonly odd: Readonly<Record<'noise' | 'disturbed' | 'words' | 'mixed' | 'columns', string>>;
  readonly oneCurrent: string;
}

/** A file from elsewhere, before it is read. */
interface ImportTexts {
  readonly title: (file: string) => string;
  readonly which: string;
  readonly tests: Readonly<Record<TestKind, string>>;
  readonly preview: string;
  readonly holds: (column: string) => string;
  readonly rate: string;
  readonly about: (rate: string) => string;
  readonly timeDoesNotRise: string;
  readonly skipBad: string;
  readonly begin: string;
  readonly leave: string;
  readonly chooseTest: string;
  readonly chooseCurrent: string;
  readonly giveRate: string;
}
