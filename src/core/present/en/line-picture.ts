/** What is written in an overlay of two lines. */
export const linePicture = {
  before: 'before',
  after: 'after',
};
