import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import fc from 'fast-check';
import { ByteWriter, ParquetWriter } from 'hyparquet-writer';
import { describe, expect, it } from 'vitest';
import { chunkStatistics } from '../../../src/daemon/store/exchange/chunk-statistics.ts';
import { ParquetFile, type ParquetFacts } from '../../../src/daemon/store/exchange/parquet.ts';
import { scratch } from './kit.ts';

/** What the library says of a column when it looks at every value itself. */
function libraryStatistics(values: Float32Array | (number | null)[]): unknown {
  const parquet = new ParquetWriter({ writer: new ByteWriter(), schema: [{ name: 'root', num_children: 1 }, { name: 'v', type: 'FLOAT', repetition_type: 'OPTIONAL' }] });
  void parquet.write({ columnData: [{ name: 'v', data: values, encoding: 'BYTE_STREAM_SPLIT', nullable: true }], rowGroupSize: values.length });
  return parquet.row_groups[0]!.columns[0]!.meta_data!.statistics;
}

const measured = fc.oneof(fc.constantFrom(0, -0, 1, -1), fc.float({ noNaN: true, noDefaultInfinity: true }));
const NO_FACTS: ParquetFacts = { trace_uid: null, trace: null, start: null, title: null, test: null, logger: null, thinned: null, simulated: null, job: null, depot_name: null, vehicle_name: null, circuit: null, complaint: null, fuse_rating_a: null };

describe('what a Parquet file says of its columns', () => {
  it('is what the library says when it looks at every value, of numbers and of numbers with some missing', () => {
    const column = fc.oneof(fc.array(measured, { minLength: 1, maxLength: 40 }).map((values) => Float32Array.from(values)), fc.array(fc.oneof(measured.map(Math.fround), fc.constant(null)), { minLength: 1, maxLength: 40 }));
    fc.assert(fc.property(column, (values) => {
      expect(chunkStatistics(values)).toEqual(libraryStatistics(values));
    }), { numRuns: 300 });
  });

  it('is there for an engine that reads the file: smallest, largest and how many are missing, group by group', async () => {
    const path = join(scratch(), 'statistics.parquet');
    const rows = 140_000;
    const timeS = Float64Array.from({ length: rows }, (_, i) => i / 1000);
    const file = new ParquetFile(path, { facts: NO_FACTS, notes: {} });
    file.add({ timeS, currentA: Float32Array.from(timeS, (_, i) => (i % 1000) / 8 - 4), voltageV: null });
    file.finish();
    file.close();
    const instance = await DuckDBInstance.create();
    const connection = await instance.connect();
    const said = (await connection.runAndReadAll(`select path_in_schema, row_group_num_rows, stats_min_value::double, stats_max_value::double, stats_null_count from parquet_metadata('${path}') where path_in_schema in ('time_s', 'current_a', 'voltage_v') order by row_group_id, column_id`)).getRowsJson();
    connection.closeSync();
    instance.closeSync();
    // 131072 rows a group; the format asks for -0 where zero is the smallest
    expect(said).toEqual([
      ['time_s', '131072', -0, 131.071, '0'], ['current_a', '131072', -4, 120.875, '0'], ['voltage_v', '131072', null, null, '131072'],
      ['time_s', '8928', 131.072, 139.999, '0'], ['current_a', '8928', -4, 120.875, '0'], ['voltage_v', '8928', null, null, '8928'],
    ]);
  });
});
