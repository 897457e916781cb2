import type { SunTurn } from "#shared/schema/sun/exposure.ts";
import type { Turn } from "./counted-dose.ts";
import { sceneFrom, type SceneInput } from "#shared/sun/sky/scene.ts";

/**
 * Scenes of a frame that was turned or glazed on the way; each turn keeps what it does not name.
 * @param input how it went out
 * @returns rising by time
 */
export function turnsOf(input: SceneInput, turns: readonly SunTurn[]): Turn[] {
  const rising = [...turns].sort((a, b) => Date.parse(a.fromAt) - Date.parse(b.fromAt));
  let now: SceneInput = input;
  return rising.map(({ fromAt, tiltDegrees, facingDegrees, glass }): Turn => {
    now = {
      ...now,
      tiltDegrees: tiltDegrees ?? now.tiltDegrees,
      facingDegrees: facingDegrees ?? now.facingDegrees,
      glass: glass ?? now.glass,
    };
    return { fromMs: Date.parse(fromAt), scene: sceneFrom(now) };
  });
}
