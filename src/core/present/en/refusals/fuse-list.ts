/** What is said of a list of millivolts across fuses that cannot be read. */
export const fuseList = {
  itIsEmpty: 'it is empty',
  itIsNotANumber: 'it is not a number',
  itIsNotA: 'it is not a finite number',
  itHasASecond: 'it has a second decimal mark',
  itIsNotPlain: 'It is not plain text. Save it as "CSV UTF-8".',
  itIsEmptyIt: 'It is empty. It needs the header label,type,rating_a,mv and one line a fuse.',
  lineTheHeaderHas: (headerAt: number, missing: string) => `Line ${headerAt}: the header has no ${missing}. It must be label,type,rating_a,mv and may go on with ohm.`,
  lineThereAreMore: (at: number, maxFuses: number) => `Line ${at}: there are more than ${maxFuses} fuses. Split the list.`,
  lineItHasCells: (at: number, count: number, count2: number) => `Line ${at}: it has ${count} cells and the header has ${count2}.`,
  itHasAHeader: 'It has a header and no fuse under it.',
  itIsEmptyGive: 'it is empty. Give each fuse its name, such as F12',
  aRatingIsAboveZero: 'a rating is above zero',
  aResistanceIsAboveZero: 'a resistance is above zero',
  itNamesNoType: (fuseTypes: string) => `it is not a known type. Known are ${fuseTypes}; for any other give its ohm`,
  lineColumn: (line: number, name: number, name2: string, more: string, why: string) => `Line ${line}, column ${name} (${name2})${more}: ${why}.`,
  says: (text: string) => ` says "${text}"`,
};
