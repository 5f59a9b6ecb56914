/** Cost that `changePoints` minimises, of any segmentation. */
export function segmentationCost(values: ArrayLike<number>, changes: readonly number[], penalty: number): number {
  let cost = changes.length * penalty;
  for (let k = 0; k <= changes.length; k++) {
    const startIndex = k === 0 ? 0 : changes[k - 1];
    const endIndex = k === changes.length ? values.length : changes[k];
    let mean = 0;
    let rest = 0;
    for (let i = startIndex; i < endIndex; i++) {
      const distance = values[i] - mean;
      mean += distance / (i - startIndex + 1);
      rest += distance * (values[i] - mean);
    }
    cost += rest;
  }
  return cost;
}
