/**
 * What a receiver at another speed makes of a byte stream: 8 data bits, no parity, one stop bit, sampled in the middle of each of its
 * own bits, with bytes sent back to back. A missing stop bit is a framing error; the byte is handed on all the same, as drivers do.
 */
export function receiveAt(bytes: readonly number[], sentBaud: number, receivedBaud: number): number[] {
  const bits = bytes.length * 10;
  const level = (atS: number): number => {
    const bit = Math.floor(atS * sentBaud);
    if (bit < 0 || bit >= bits) return 1;
    const within = bit % 10;
    return within === 0 ? 0 : within === 9 ? 1 : (bytes[Math.floor(bit / 10)]! >> (within - 1)) & 1;
  };
  const bitS = 1 / receivedBaud;
  const stepS = 1 / (16 * receivedBaud); // the usual 16 looks a bit for a start edge
  const received: number[] = [];
  let atS = 0;
  while (atS * sentBaud < bits) {
    if (level(atS) === 1) {
      atS += stepS;
      continue;
    }
    if (level(atS + bitS / 2) === 1) {
      atS += stepS;
      continue;
    }
    let byte = 0;
    for (let bit = 0; bit < 8; bit++) byte |= level(atS + (1.5 + bit) * bitS) << bit;
    received.push(byte);
    atS += 9.5 * bitS;
    while (level(atS) === 0 && atS * sentBaud < bits) atS += stepS; // framing error: wait for the line to rest
  }
  return received;
}
