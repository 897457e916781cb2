// What the dose clock's page hands to its script, and what the script keeps on the device.
import type { Ground, Sky } from "./sun-conditions.ts";

/** A frame to be put outside: everything that the clock reckons with. */
export interface ClockPlan {
  readonly scene: {
    readonly latitude: number;
    readonly longitude: number;
    readonly tiltDegrees: number;
    readonly facingDegrees: number;
    readonly elevationM: number;
    readonly sky: Sky;
    readonly ground: Ground;
    readonly haze: number;
    readonly glass: boolean;
  };
  readonly timeZone: string;
  /** Wanted dose with its 95 % half-ranges of ln dose. */
  readonly wanted: { readonly dose: number; readonly lowerLn: number; readonly upperLn: number };
  readonly anchorNames: readonly string[];
  /** Materials that all anchors share; null where they differ or are not known. */
  readonly materials: {
    readonly supportId: string | null;
    readonly coatingId: string | null;
    readonly filmId: string | null;
  };
}

/** Data of the page: the plan that its address asks for; null when there is none or it has no time. */
export interface ClockPageData {
  readonly plan: ClockPlan | null;
}

/** A frame outside, or just brought in, as kept on the device. Instants in ms of UTC. */
export interface RunningClock {
  readonly version: 1;
  readonly plan: ClockPlan;
  readonly startedMs: number;
  readonly endedMs: number | null;
  readonly hidden: readonly { readonly fromMs: number; readonly untilMs: number | null }[];
}
