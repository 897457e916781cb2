// What is worth saying about a lamp in use, as codes and numbers. `lamp-words.ts` of shared/words makes the sentences.

/** How a lamp ages, and why it should or need not be tested again. */
export type LampAgeingFinding =
  | { readonly code: "overdue"; readonly hoursSince: number }
  | { readonly code: "too-few-tests"; readonly fewest: number; readonly retestHours: number }
  /** log10 of light against the trend: below 0, weaker. */
  | { readonly code: "off-its-trend"; readonly jumpLog: number }
  /** log10 of light lost since the last test, by the trend: below 0, gained. */
  | { readonly code: "changed-since-test"; readonly lossLog: number }
  /** Whole percent of light, above 0 lost. */
  | { readonly code: "changes-slowly"; readonly lossPercentPer100Hours: number }
  | { readonly code: "steady" };
