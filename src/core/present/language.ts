import { en } from './en/index.ts';
import type { Words } from './words.ts';

/** The language that all speak: command line, pages, daemon, report. Another one is another folder beside `en/`, named here. */
export const language: Words = en;

export const { atMost, currentAndBounds, decimal, formatCount, formatCurrent, formatCurrentBounds, formatCurrentWithin, formatDuration, plain, significant } = language.numbers;
