/** What is written in a picture of lines laid over each other. */
export const linePicture = {
  before: 'before',
  after: 'after',
};
