/**
 * Puts the value that would be at `k` if `[left, right]` were sorted there, none greater before it and none smaller after it. Floyd and Rivest, "Expected time bounds for selection",
 * Communications of the ACM 18 (1975) 165-172, with their own bound of 600 for looking at a sample first.
 */
export function select(values: Float64Array, k: number, left: number, right: number): void {
  let from = left;
  let to = right;
  while (to > from) {
    if (to - from > 600) {
      const n = to - from + 1;
      const i = k - from + 1;
      const z = Math.log(n);
      const s = 0.5 * Math.exp((2 * z) / 3);
      const sd = 0.5 * Math.sqrt((z * s * (n - s)) / n) * (i < n / 2 ? -1 : 1);
      select(values, k, Math.max(from, Math.floor(k - (i * s) / n + sd)), Math.min(to, Math.floor(k + ((n - i) * s) / n + sd)));
    }
    const pivot = values[k];
    swap(values, from, k);
    if (values[to] > pivot) swap(values, to, from);
    let i = from;
    let j = to;
    while (i < j) {
      swap(values, i, j);
      i++;
      j--;
      while (values[i] < pivot) i++;
      while (values[j] > pivot) j--;
    }
    if (values[from] === pivot) swap(values, from, j);
    else {
      j++;
      swap(values, j, to);
    }
    if (j <= k) from = j + 1;
    if (k <= j) to = j - 1;
  }
}

function swap(values: Float64Array, i: number, j: number): void {
  const kept = values[i];
  values[i] = values[j];
  values[j] = kept;
}
