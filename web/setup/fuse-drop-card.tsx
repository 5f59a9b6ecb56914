/** Millivolts across a fuse to current. */
export function FuseDropCard() {
  return null;
}
