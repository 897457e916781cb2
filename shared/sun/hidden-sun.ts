// When the sun goes behind what stands round a frame: past that the light is of another kind, for which no print made
// in the sun speaks.
import { daylightEndMs, type DoseTable } from "./dose.ts";
import { isSunHidden } from "./sky/horizon.ts";
import { sunInScene, type ReadyScene } from "./sky/printing-strength.ts";

/** How high above a told horizon the sun counts as hidden: heights are tapped by eye [°]. Our judgement. */
const marginDegrees = 2;

/** At which nodes of a table the sun is behind the scene's horizon; none with a free horizon or in open shade. */
export function hiddenNodes(table: DoseTable, ready: ReadyScene): readonly boolean[] {
  const { horizon, light } = ready.scene;
  if (horizon === undefined || light === "open-shade") return [];
  return Array.from({ length: table.zeniths.length }, (_, node) =>
    isSunHidden(horizon, sunInScene(ready, table.startMs + node * table.stepSeconds * 1000), marginDegrees),
  );
}

/**
 * Until when the sun stays clear of the horizon from an instant on.
 * @param hidden from `hiddenNodes`
 * @returns the instant itself where the sun is hidden then; infinity where it stays clear to the end of the daylight
 */
export function sunFreeUntilMs(table: DoseTable, fromMs: number, hidden: readonly boolean[]): number {
  if (hidden.length === 0) return Infinity;
  const stepMs = table.stepSeconds * 1000;
  const endMs = daylightEndMs(table, fromMs);
  for (let node = Math.max(0, Math.floor((fromMs - table.startMs) / stepMs)); node < hidden.length; node += 1) {
    const atMs = table.startMs + node * stepMs;
    if (atMs > endMs) return Infinity;
    if (hidden[node] === true) return Math.max(fromMs, atMs);
  }
  return Infinity;
}
