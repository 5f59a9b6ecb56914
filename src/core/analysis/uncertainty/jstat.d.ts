/** The few functions of jstat that distributions.ts uses; the package carries no types of its own. */
declare module 'jstat' {
  interface Distribution {
    inv(probability: number, ...parameters: number[]): number;
    cdf(value: number, ...parameters: number[]): number;
  }
  const jstat: { jStat: { studentt: Distribution; chisquare: Distribution; normal: Distribution } };
  export default jstat;
}
