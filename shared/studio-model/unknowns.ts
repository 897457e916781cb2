// The unknowns of the model, and how much of each stands in one log time.
import {
  batchKey,
  isAfter,
  type ChangeEvent,
  type Circumstances,
  type Finish,
  type Observation,
} from "./observation.ts";
import { spreadOf, usualLogSeconds, type Spreads, type UnknownKind } from "./spreads.ts";

/** One unknown in one log time. */
export interface Term {
  readonly key: string;
  readonly kind: UnknownKind;
  readonly coefficient: number;
  /** Standard deviation beforehand, of kind "fixed" only. */
  readonly sigma: number;
}

/** Batches of one recipe [log10]. common practice, no source */
export const batchSpread = 0.04;
/** Change of log seconds in 100 hours of a lamp, before it is measured. Source: LampGeometry, ageing. */
const ageingSpread = 0.015;
/** For 10 % of relative humidity while coating and drying. common practice, no source */
const humiditySpread = 0.02;

/**
 * What each finish does to log seconds, where it is not as usual: acid brings up the middle tones, peroxide only
 * hastens the final blue, a print that has not its final blue reads lighter. common practice, no source
 */
const finishSpreads = { acidWash: 0.05, peroxide: 0.02, oxidised: 0.05 } as const satisfies Record<
  keyof Finish,
  number
>;
const finishKeys = Object.keys(finishSpreads) as (keyof Finish)[];

/** What is common to all rows of one studio. */
export interface Frame {
  readonly events: readonly ChangeEvent[];
  /** Humidity that times are for when nothing is said [%]. */
  readonly usualHumidityPercent: number;
  /** Share of the tests that were finished so, of those that said; null where none did. */
  readonly usualFinish: Readonly<Record<keyof Finish, number | null>>;
  /** Mean hours of each light: a lamp between two changes of it. */
  readonly usualHours: ReadonlyMap<string, number>;
}

/** The frame of a studio from all that was seen in it. */
export function frameOf(observations: readonly Observation[], events: readonly ChangeEvent[]): Frame {
  const humidities = observations.flatMap(({ humidityPercent }) => humidityPercent ?? []);
  const hours = new Map<string, number[]>();
  for (const each of observations) {
    if (each.lampHours === null) continue;
    const key = lightKey(each, events);
    hours.set(key, [...(hours.get(key) ?? []), each.lampHours]);
  }
  return {
    events,
    usualFinish: {
      acidWash: usualShare(observations, "acidWash"),
      peroxide: usualShare(observations, "peroxide"),
      oxidised: usualShare(observations, "oxidised"),
    },
    usualHumidityPercent: humidities.length === 0 ? 50 : roundedHumidity(meanOf(humidities)),
    usualHours: new Map([...hours].map(([key, values]) => [key, meanOf(values)])),
  };
}

/** The known part of a log time: the usual level, the film's density, the distance. */
export function knownLogSeconds({ film, distance }: Circumstances): number {
  return usualLogSeconds.mean + (film?.density ?? 0) + (distance?.shiftLogH ?? 0);
}

/** Every unknown in one log time, with its coefficient. */
export function termsOf(of: Circumstances, frame: Frame): Term[] {
  const { lampId, supportId, coatingId } = of;
  const term = (key: string, kind: UnknownKind): Term => ({ key, kind, coefficient: 1, sigma: 0 });
  const terms = [
    term("level", "level"),
    term(`lamp ${lampId}`, "lamp"),
    term(`support ${supportId}`, "support"),
    term(`coating ${coatingId}`, "coating"),
    term(`lamp+coating ${lampId} ${coatingId}`, "pair"),
    term(`lamp+support ${lampId} ${supportId}`, "lesser-pair"),
    term(`support+coating ${supportId} ${coatingId}`, "lesser-pair"),
    term(`combination ${lampId} ${supportId} ${coatingId}`, "combination"),
  ];
  return [
    ...terms,
    ...materialTerms(of),
    ...lampTerms(of, frame),
    ...conditionTerms(of, frame),
    ...frame.events.filter((event) => isAfter(event, of)).map(eventTerm),
  ];
}

const fixed = (key: string, sigma: number, coefficient = 1): Term => ({ key, kind: "fixed", coefficient, sigma });

/** What a change adds to every log time after it. */
export function eventTerm({ id, spread }: ChangeEvent): Term {
  return fixed(`event ${id}`, spread);
}

/** Of the batch, and of what is not known of the film. */
function materialTerms(of: Circumstances): Term[] {
  const { film, lampId } = of;
  const terms = of.batchId === null ? [] : [fixed(`batch ${batchKey(of)}`, batchSpread)];
  if (film !== null && film.commonSigma > 0) terms.push(fixed(`film ${film.id}`, 1, film.commonSigma));
  if (film !== null && film.lampSigma > 0) terms.push(fixed(`film+lamp ${film.id} ${lampId}`, 1, film.lampSigma));
  return terms;
}

/** Of the distance, and of the hours since the lamp's usual ones. */
function lampTerms(of: Circumstances, frame: Frame): Term[] {
  const { distance, lampHours, lampId } = of;
  const terms =
    distance === null || distance.sigmaLogH === 0 ? [] : [fixed(`distance ${lampId}`, 1, distance.sigmaLogH)];
  if (lampHours === null) return terms;
  const key = lightKey(of, frame.events);
  const usual = frame.usualHours.get(key);
  if (usual === undefined || usual === lampHours) return terms;
  return [...terms, fixed(`ageing ${key}`, ageingSpread, (lampHours - usual) / 100)];
}

/** Of the air, and of how the print was finished, where they are not as usual. */
function conditionTerms({ humidityPercent, finish }: Circumstances, frame: Frame): Term[] {
  const damper = humidityPercent === null ? 0 : roundedHumidity(humidityPercent) - frame.usualHumidityPercent;
  const terms = damper === 0 ? [] : [fixed("humidity", humiditySpread, damper / 10)];
  for (const key of finishKeys) {
    const [is, usual] = [finish[key], frame.usualFinish[key]];
    if (is !== null && usual !== null && Number(is) !== usual)
      terms.push(fixed(`finish ${key}`, finishSpreads[key], Number(is) - usual));
  }
  return terms;
}

/** The same for what was seen through a tablet, whose own error stands in all its tests. */
export function termsOfObservation(of: Observation, frame: Frame): Term[] {
  const { tablet } = of;
  if (tablet === null || !(tablet.sigma > 0)) return termsOf(of, frame);
  return [...termsOf(of, frame), { key: `tablet ${tablet.id}`, kind: "fixed", coefficient: tablet.sigma, sigma: 1 }];
}

/** Variance of an unknown beforehand in one world [log10 squared]. */
export function varianceOf({ kind, sigma }: Pick<Term, "kind" | "sigma">, spreads: Spreads): number {
  return (kind === "fixed" ? sigma : spreadOf(kind, spreads)) ** 2;
}

/** One light: a lamp since its tubes or diodes were last changed. */
function lightKey(of: Circumstances, events: readonly ChangeEvent[]): string {
  return `${of.lampId} ${events.filter((event) => event.isNewLight && isAfter(event, of)).length}`;
}

/**
 * To 5 %: no meter of a studio tells more, and tests of like humidity are then reckoned together. common practice, no
 * source
 */
function roundedHumidity(percent: number): number {
  return 5 * Math.round(percent / 5);
}

function usualShare(observations: readonly Observation[], key: keyof Finish): number | null {
  const said = observations.flatMap(({ finish }) => finish[key] ?? []).map(Number);
  return said.length === 0 ? null : meanOf(said);
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
