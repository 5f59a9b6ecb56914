/** What a column chunk says of its values, so that an engine can pass over it (Parquet format, struct Statistics). */
interface ChunkStatistics {
  readonly min_value?: number;
  readonly max_value?: number;
  readonly null_count: bigint;
  readonly nan_count: bigint;
}

/** Of measured values, which are finite: the library's own look at every value, for any type there is, took a quarter of an export. A least value of zero is written as -0, a greatest as +0, as the format asks. */
export function chunkStatistics(values: Float64Array | Float32Array | readonly (number | null)[]): ChunkStatistics {
  return values instanceof Float64Array || values instanceof Float32Array ? ofNumbers(values) : ofSome(values);
}

function ofNumbers(values: Float64Array | Float32Array): ChunkStatistics {
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return said(low, high, 0);
}

function ofSome(values: readonly (number | null)[]): ChunkStatistics {
  let low = Infinity;
  let high = -Infinity;
  let nulls = 0;
  for (const value of values) {
    if (value === null) nulls++;
    else {
      if (value < low) low = value;
      if (value > high) high = value;
    }
  }
  return said(low, high, nulls);
}

function said(low: number, high: number, nulls: number): ChunkStatistics {
  const bounds = low <= high ? { min_value: low === 0 ? -0 : low, max_value: high === 0 ? 0 : high } : {};
  return { ...bounds, null_count: BigInt(nulls), nan_count: 0n };
}
