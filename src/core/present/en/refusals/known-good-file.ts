/** What is said of a file of known-good limits or usual currents that cannot be read. */
export const knownGoodFile = {
  noLimits: (schema: string) => `it holds no limits (its schema is not ${schema})`,
  broken: (number: number) => `limit number ${number} is not whole (direction, metric, low below high)`,
  empty: 'its list of circuits is empty',
  circuit: (number: number, why: string) => `circuit number ${number}: ${why}`,
  usual: '"usual" is not an object',
  notTwo: (name: string) => `"usual.${name}" is not two currents in A, the lower one first`,
  noCurrent: '"usual" holds no current',
};
