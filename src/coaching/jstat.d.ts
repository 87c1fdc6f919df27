// jstat comes without types: what is used of it.

declare module 'jstat' {
  const jStat: {
    readonly studentt: {
      /** The value that a share `p` of the distribution lies below. */
      inv(p: number, freedom: number): number;
      cdf(x: number, freedom: number): number;
    };
  };
  export default jStat;
}
