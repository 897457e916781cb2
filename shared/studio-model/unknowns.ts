// The unknowns of the model, and how much of each stands in one log time.
import { batchKey, isAfter, type ChangeEvent, type Circumstances, type Observation } from "./observation.ts";
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
const batchSpread = 0.04;
/** Change of log seconds in 100 hours of a lamp, before it is measured. Source: LampGeometry, ageing. */
const ageingSpread = 0.015;
/** For 10 % of relative humidity while coating and drying. common practice, no source */
const humiditySpread = 0.02;

/** What is common to all rows of one studio. */
export interface Frame {
  readonly events: readonly ChangeEvent[];
  /** Humidity that times are for when nothing is said [%]. */
  readonly usualHumidityPercent: number;
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
    usualHumidityPercent: humidities.length === 0 ? 50 : meanOf(humidities),
    usualHours: new Map([...hours].map(([key, values]) => [key, meanOf(values)])),
  };
}

/** The known part of a log time: the usual level, the film's density, the distance. */
export function knownLogSeconds({ film, distance }: Circumstances): number {
  return usualLogSeconds.mean + (film?.density ?? 0) + (distance?.shiftLogH ?? 0);
}

/** Every unknown in one log time, with its coefficient. */
export function termsOf(of: Circumstances, frame: Frame): Term[] {
  const { lampId, supportId, coatingId, film, distance, lampHours, humidityPercent } = of;
  const term = (key: string, kind: UnknownKind): Term => ({ key, kind, coefficient: 1, sigma: 0 });
  const fixed = (key: string, sigma: number, coefficient = 1): Term => ({ key, kind: "fixed", coefficient, sigma });
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
  if (of.batchId !== null) terms.push(fixed(`batch ${batchKey(of)}`, batchSpread));
  if (film !== null && film.sigma > 0) {
    // Half of what is not known of a film's density is its own, half is what this lamp's light makes of it.
    terms.push(fixed(`film ${film.id}`, film.sigma * Math.SQRT1_2));
    terms.push(fixed(`film+lamp ${film.id} ${lampId}`, film.sigma * Math.SQRT1_2));
  }
  if (distance !== null && distance.sigmaLogH !== 0) terms.push(fixed(`distance ${lampId}`, 1, distance.sigmaLogH));
  if (lampHours !== null) {
    const key = lightKey(of, frame.events);
    const usual = frame.usualHours.get(key);
    if (usual !== undefined && usual !== lampHours)
      terms.push(fixed(`ageing ${key}`, ageingSpread, (lampHours - usual) / 100));
  }
  if (humidityPercent !== null && humidityPercent !== frame.usualHumidityPercent)
    terms.push(fixed("humidity", humiditySpread, (humidityPercent - frame.usualHumidityPercent) / 10));
  for (const event of frame.events) if (isAfter(event, of)) terms.push(fixed(`event ${event.id}`, event.spread));
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

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
