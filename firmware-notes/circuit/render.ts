import { FIGURES, TABLES } from './tables.ts';

/** Puts tables and figures into the guide's text; a name that is not known is a mistake. */
export function render(template: string): string {
  return template.replaceAll(/\{\{(table )?(\w+)\}\}/g, (whole, isTable: string | undefined, name: string) => {
    const value = (isTable === undefined ? FIGURES : TABLES)[name];
    if (value === undefined) throw new Error(`${whole} is not known`);
    return value();
  });
}
