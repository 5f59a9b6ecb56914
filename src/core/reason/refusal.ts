import { language } from '../present/language.ts';

const texts = language.caseFile;

/** What came from outside cannot be used: the text says what, where and what is allowed there. Thrown only within a reader, which returns it as a value. */
export class Refusal extends Error {}

type Fields = Readonly<Record<string, unknown>>;

export function fieldsOf(value: unknown, otherwise: string): Fields {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) throw new Refusal(otherwise);
  return value as Fields;
}

/** A list of at most `most` entries; absent counts as empty. */
export function listOf(value: unknown, name: string, most = 1000): readonly unknown[] {
  if (value === undefined || value === null) return [];
  if (!Array.isArray(value)) throw new Refusal(texts.aList(name));
  if (value.length > most) throw new Refusal(texts.tooLong(name, value.length, most));
  return value;
}

export function numberOf(value: unknown, name: string, low: number, high: number): number {
  if (typeof value !== 'number' || !Number.isFinite(value) || value < low || value > high) throw new Refusal(texts.aNumber(name, shown(value), low, high));
  return value;
}

/** Text, trimmed and cut; absent counts as empty. */
export function textOf(value: unknown, name: string, most: number): string {
  if (value === undefined || value === null) return '';
  if (typeof value !== 'string') throw new Refusal(texts.text(name));
  return value.trim().slice(0, most);
}

/** A value from outside as a message can quote it. */
export function shown(value: unknown): string {
  return value === undefined ? texts.nothing : (JSON.stringify(value) ?? texts.nothing).slice(0, 60);
}
