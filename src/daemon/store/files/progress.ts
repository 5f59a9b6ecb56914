/** Share done, 0 to 1, of long work. */
export type Progress = (share: number) => void;

/** Passes it on once a percent. */
export function oncePerPercent(progress: Progress): Progress {
  let passedOn = -1;
  return (share) => {
    const percent = Math.floor(100 * share);
    if (percent === passedOn) return;
    passedOn = percent;
    progress(share);
  };
}

/**
 * One progress for several pieces of work, one after the other: each call gives the next piece its share. What is reported never falls back, and a piece that
 * tells nothing (a trace that opens at once) leaves its share to those after it.
 */
export function inTurn(progress: Progress | undefined, pieces: number): () => Progress {
  let passedOn = 0;
  let left = pieces;
  return () => {
    const from = passedOn;
    const share = (1 - from) / Math.max(1, left--);
    return (fraction) => {
      passedOn = Math.max(passedOn, from + share * Math.min(Math.max(fraction, 0), 1));
      progress?.(passedOn);
    };
  };
}
