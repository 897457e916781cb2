// The library ships no types; this is the part that is used.
declare module "ml-regression" {
  export class SimpleLinearRegression {
    constructor(x: readonly number[], y: readonly number[]);
    readonly slope: number;
    readonly intercept: number;
  }
}
