/**
 * A dashed line of more points than px goes up and down within each px: dashes measured along it are over after a px or two across, and it looks solid. Such a run
 * is dashed by its place across the picture instead.
 */
export function isDense(run: Float64Array): boolean {
  return run.length / 2 > run[run.length - 2] - run[0] + 1;
}

/** What is drawn of a dense run: `onPx` of every `onPx + offPx` across. */
export function dashedAcross(run: Float64Array, [onPx, offPx]: readonly number[]): Float64Array[] {
  const pieces: Float64Array[] = [];
  const isOn = (i: number): boolean => run[2 * i] % (onPx + offPx) < onPx;
  const points = run.length / 2;
  let from = 0;
  for (let i = 0; i <= points; i += 1) {
    if (i < points && isOn(i)) continue;
    if (i > from) pieces.push(run.subarray(2 * from, 2 * i));
    from = i + 1;
  }
  return pieces;
}
