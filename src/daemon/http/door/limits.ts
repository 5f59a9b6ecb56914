/** How long the door waits and how many wait in it. Tests give shorter times. */
export interface DoorLimits {
  /** a new connection must have asked for something, or joined with a key, within this time */
  readonly askWithinMs: number;
  /** a request or an answer of which no byte moves is given up after this time */
  readonly stallMs: number;
  /** how often both are looked at */
  readonly sweepMs: number;
  /** connections without a key, from one address and from all */
  readonly strangersPerAddress: number;
  readonly strangers: number;
  /** connections with a key, from one address and from all */
  readonly guestsPerAddress: number;
  readonly guests: number;
  /** different wrong keys of one address that are only refused; each one more makes it wait, twice as long each time */
  readonly freeTries: number;
  readonly firstWaitMs: number;
  readonly longestWaitMs: number;
  /** a page that was shut out for sending too much and comes back at once is kept waiting for so long, unread */
  readonly holdNoisyMs: number;
  /** the page that holds the controls has so long to answer one that asks for them */
  readonly answerWithinMs: number;
}

/**
 * Common practice, no published source. A browser opens at most six connections to an address beside its WebSocket, and a page on a weak
 * wireless network has asked within a second. 64 strangers of one address: in a flood of 400 connections a second a newcomer then has 0.16 s
 * to show its key, several times what a page on the same computer needs (`npm run attack`). 30 s to answer: time to walk round a vehicle and look at the screen.
 */
export const DOOR_LIMITS: DoorLimits = {
  askWithinMs: 5000,
  stallMs: 30_000,
  sweepMs: 500,
  strangersPerAddress: 64,
  strangers: 256,
  guestsPerAddress: 96,
  guests: 256,
  freeTries: 5,
  firstWaitMs: 1000,
  longestWaitMs: 60_000,
  holdNoisyMs: 3000,
  answerWithinMs: 30_000,
};
