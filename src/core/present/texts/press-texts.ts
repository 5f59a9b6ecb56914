/** Words around the figures of one press; figures come in formatted. */
export interface PressTexts {
  readonly atLeast: (figure: string) => string;
  readonly atMost: (figure: string) => string;
  readonly overAfter: (duration: string) => string;
  readonly lasted: (duration: string) => string;
  readonly range: (low: string, high: string) => string;
  /** the switch-on was not fitted */
  readonly noFit: string;
  readonly stallEstimate: (current: string) => string;
  readonly fit: (bounds: string, mechanical: string, electrical: string | null) => string;
  readonly turns: (count: string) => string;
  readonly ripples: (count: string) => string;
  readonly fuse: (percent: string, lasted: string) => string;
  readonly fuseHolds: (i2t: string) => string;
  readonly fuseOpens: (earliest: string, latest: string, i2t: string) => string;
  readonly wire: (percent: string) => string;
  readonly wireVolts: (bounds: string, dropV: string, sagV: string) => string;
  readonly badSegment: (depth: string) => string;
  readonly badSegmentOver: (percent: string, turns: number) => string;
  /** what the figures on the card are called */
  readonly labels: Readonly<Record<'rest' | 'stall' | 'run' | 'contactLost' | 'badSegment' | 'feed' | 'inrush', string>>;
  /** under a reading: what its ranges are */
  readonly boundsHold: string;
  /** the same where nobody has said how far the sensor's scale is off */
  readonly boundsAsRead: string;
  /** the recording begins or ends within the press; with the fault that the recorded part shows, if any */
  readonly cutOff: (fault: string | null) => string;
  /** the press is going on now */
  readonly stillOn: (fault: string | null) => string;
  readonly noPressYet: string;
  readonly noPressYetSentence: string;
  readonly stillOnSentence: string;
  readonly noise: (current: string) => string;
  readonly inAll: (duration: string) => string;
  readonly ofRun: (percent: string) => string;
}
