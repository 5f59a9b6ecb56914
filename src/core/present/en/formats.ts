import type { FormatTexts } from '../words.ts';

export const formats: FormatTexts = {
  csv: { name: 'CSV', hint: 'spreadsheets' },
  arrows: { name: 'Arrow', hint: 'pandas, R, Julia' },
  parquet: { name: 'Parquet', hint: 'DuckDB, Spark' },
  svg: { name: 'Drawing (SVG)', hint: 'the part in view' },
  png: { name: 'Picture (PNG)', hint: 'the part in view' },
  zip: { name: 'Zip', hint: 'for another amptrail' },
};
