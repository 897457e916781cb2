// Places of both halves of the earth, each with a server whose clock stands in another zone, as a small computer or a
// container does.
import { afterEach, beforeEach, vi } from "vitest";

export interface PlaceOnEarth {
  readonly city: string;
  readonly latitude: number;
  readonly longitude: number;
  readonly timeZone: string;
  /** Near noon on about the longest day, by the clock there. */
  readonly summer: string;
  /** The same hour on about the shortest day: another offset where clocks change. */
  readonly winter: string;
  /** Facing of a frame that is turned to the equator, and away from it [°]. */
  readonly equator: number;
  readonly pole: number;
  /** Zone of the server's own clock. */
  readonly serverZone: string;
}

const north = { equator: 180, pole: 0 } as const;
const south = { equator: 0, pole: 180 } as const;

/** Offsets by the IANA time zone database; coordinates of the cities from memory. */
export const placesOfBothHalves: readonly PlaceOnEarth[] = [
  {
    ...north,
    city: "Berlin",
    latitude: 52.52,
    longitude: 13.41,
    timeZone: "Europe/Berlin",
    summer: "2026-06-19T13:10:00+02:00",
    winter: "2026-12-18T13:10:00+01:00",
    serverZone: "America/Santiago",
  },
  {
    ...north,
    city: "New York",
    latitude: 40.71,
    longitude: -74.01,
    timeZone: "America/New_York",
    summer: "2026-06-19T13:00:00-04:00",
    winter: "2026-12-18T13:00:00-05:00",
    serverZone: "Pacific/Auckland",
  },
  {
    ...south,
    city: "Auckland",
    latitude: -36.85,
    longitude: 174.76,
    timeZone: "Pacific/Auckland",
    summer: "2026-12-18T13:20:00+13:00",
    winter: "2026-06-19T13:20:00+12:00",
    serverZone: "UTC",
  },
  {
    ...south,
    city: "Sydney",
    latitude: -33.87,
    longitude: 151.21,
    timeZone: "Australia/Sydney",
    summer: "2026-12-18T12:50:00+11:00",
    winter: "2026-06-19T12:50:00+10:00",
    serverZone: "America/New_York",
  },
  {
    ...south,
    city: "Santiago",
    latitude: -33.45,
    longitude: -70.67,
    timeZone: "America/Santiago",
    summer: "2026-12-18T13:40:00-03:00",
    winter: "2026-06-19T13:40:00-04:00",
    serverZone: "Europe/Berlin",
  },
];

/** Each test of the file runs by the clock of this server, at this moment. */
export function serverClockOf({ serverZone, summer }: Pick<PlaceOnEarth, "serverZone" | "summer">): void {
  beforeEach(() => {
    vi.stubEnv("TZ", serverZone);
    vi.useFakeTimers({ toFake: ["Date"], now: Date.parse(summer) });
  });
  afterEach(() => {
    vi.useRealTimers();
    vi.unstubAllEnvs();
  });
}

/** Day, and time of day, as a clock there shows an instant that is written with its offset. */
export const dayOf = (instant: string): string => instant.slice(0, 10);
export const timeOfDay = (instant: string): string => instant.slice(11, 16);

/** The instant as a page's address asks for it. */
export function placeQuery(place: PlaceOnEarth, instant: string, more: Readonly<Record<string, string>> = {}): string {
  const { latitude, longitude, timeZone } = place;
  return new URLSearchParams({
    latitude: String(latitude),
    longitude: String(longitude),
    timeZone,
    date: dayOf(instant),
    time: timeOfDay(instant),
    ...more,
  }).toString();
}

/** The large time of a page [s]. */
export function shownSeconds(html: string): number {
  const shown = /answer-time[^>]*>(?:<span aria-hidden="true">)?(?:(\d+) h )?(\d+)(?::(\d\d)| min)</.exec(html);
  return shown === null
    ? Number.NaN
    : 3600 * Number(shown[1] ?? 0) + 60 * Number(shown[2] ?? 0) + Number(shown[3] ?? 0);
}
