// What is said about a lamp in use.
import type { LampAgeingFinding } from "#shared/lamp/lamp-facts.ts";
import { sentenceOf, type Sentences } from "./sentences.ts";

const ageing: Sentences<LampAgeingFinding> = {
  overdue: ({ hoursSince }) => `The lamp has burnt ${Math.round(hoursSince)} hours since its last test: test it again.`,
  "too-few-tests": ({ fewest, retestHours }) =>
    `Too few tests with lamp hours to see a trend (at least ${fewest} at different hours); test again every ${retestHours} hours.`,
  "off-its-trend": ({ jumpLog }) =>
    `The latest test shows the lamp ${jumpLog < 0 ? "weaker" : "stronger"} than its trend by ${Math.round((10 ** Math.abs(jumpLog) - 1) * 100)} %: repeat it, and look at the tubes, the voltage and the distance.`,
  "changed-since-test": ({ lossLog }) =>
    `By its trend the lamp has changed by ${Math.round(Math.abs(1 - 10 ** -lossLog) * 100)} % since its last test: test it again.`,
  "changes-slowly": ({ lossPercentPer100Hours: loss }) =>
    `The lamp ${loss > 0 ? "loses" : "gains"} about ${Math.abs(loss)} % in 100 hours.`,
  steady: "The lamp is steady within the scatter of its tests.",
};

/** How a lamp ages, and why it should or need not be tested again. */
export const lampAgeingWords = (fact: LampAgeingFinding): string => sentenceOf(ageing, fact);
