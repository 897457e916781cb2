// Finds ring marks: a dark disc in the middle of a dark ring, at any size and tilt.
import type { RedPlane } from "./red-plane.ts";

export interface RingCandidate {
  /** Centre and mean diameter of the ring, plane pixels. */
  readonly x: number;
  readonly y: number;
  readonly diameter: number;
  /** True when the disc has a light hole in its middle. */
  readonly hollow: boolean;
}

interface Blob {
  area: number;
  sumX: number;
  sumY: number;
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** A pixel is dark when it lies this much (of 255) below the mean of its surroundings. */
const darkerBy = 10;
const smallestRingPx = 9;
/** Disc over ring diameter: 2.6 / 5 by design; tilt, blur and spread leave it well inside these limits. */
const discShare = { least: 0.33, most: 0.72 };

/**
 * Candidates for ring marks, the dark parts being darker than their surroundings.
 * @param lightMarks true to look for light rings on a dark ground instead
 */
export function ringCandidates(plane: RedPlane, lightMarks: boolean): RingCandidate[] {
  const blobs = darkBlobs(plane, lightMarks).filter((blob) => {
    const [w, h] = [blob.right - blob.left + 1, blob.bottom - blob.top + 1];
    return Math.min(w, h) >= 3 && Math.max(w, h) < 2.5 * Math.min(w, h);
  });
  const size = (blob: Blob): number => (blob.right - blob.left + blob.bottom - blob.top + 2) / 2;
  const fill = (blob: Blob): number =>
    blob.area / ((Math.PI / 4) * (blob.right - blob.left + 1) * (blob.bottom - blob.top + 1));
  const found: RingCandidate[] = [];
  const byLeft = [...blobs].sort((a, b) => a.left - b.left);
  for (const ring of byLeft) {
    const diameter = size(ring);
    if (diameter < smallestRingPx || fill(ring) < 0.15 || fill(ring) > 0.75) continue;
    for (const disc of byLeft) {
      if (disc.left <= ring.left) continue;
      if (disc.left >= ring.right) break;
      if (disc.right >= ring.right || disc.top <= ring.top || disc.bottom >= ring.bottom) continue;
      const share = size(disc) / diameter;
      if (share < discShare.least || share > discShare.most || fill(disc) < 0.5) continue;
      const [x, y] = [
        (ring.sumX + disc.sumX) / (ring.area + disc.area),
        (ring.sumY + disc.sumY) / (ring.area + disc.area),
      ];
      const apart = Math.hypot(
        ring.sumX / ring.area - disc.sumX / disc.area,
        ring.sumY / ring.area - disc.sumY / disc.area,
      );
      if (apart > 0.08 * diameter + 0.7) continue;
      found.push({ x, y, diameter, hollow: hasHole(plane, x, y, size(disc), lightMarks) });
    }
  }
  return found;
}

/** Whether the middle is lighter than half-way between the disc's dark part and the white ring. */
function hasHole(plane: RedPlane, x: number, y: number, discPx: number, lightMarks: boolean): boolean {
  const at = (px: number, py: number): number => {
    const value =
      plane.value[
        Math.min(plane.height - 1, Math.max(0, Math.round(py))) * plane.width +
          Math.min(plane.width - 1, Math.max(0, Math.round(px)))
      ]!;
    return lightMarks ? 255 - value : value;
  };
  const ring = (radius: number): number => {
    let sum = 0;
    for (let k = 0; k < 16; k++)
      sum += at(x + radius * Math.cos((k * Math.PI) / 8), y + radius * Math.sin((k * Math.PI) / 8));
    return sum / 16;
  };
  const radius = discPx / 2;
  const [dark, white] = [ring(0.75 * radius), ring(1.25 * radius)];
  return at(x, y) - dark > 0.3 * (white - dark);
}

/** Connected dark areas, by runs and union; pixels that share a side belong together. */
function darkBlobs({ width, height, value }: RedPlane, lightMarks: boolean): Blob[] {
  const mean = localMean(value, width, height, Math.max(12, Math.round(Math.max(width, height) / 40)));
  const parents: number[] = [];
  const blobs: Blob[] = [];
  const rootOf = (i: number): number => {
    let root = i;
    while (parents[root] !== root) root = parents[root]!;
    while (parents[i] !== root) [parents[i], i] = [root, parents[i]!];
    return root;
  };
  let before: { left: number; right: number; blob: number }[] = [];
  for (let y = 0; y < height; y++) {
    const runs: typeof before = [];
    let k = 0;
    for (let x = 0; x < width; x++) {
      const isDark = (px: number): boolean =>
        (lightMarks ? value[y * width + px]! - mean[y * width + px]! : mean[y * width + px]! - value[y * width + px]!) >
        darkerBy;
      if (!isDark(x)) continue;
      const left = x;
      while (x + 1 < width && isDark(x + 1)) x++;
      let blob = -1;
      while (k < before.length && before[k]!.right < left) k++;
      for (let j = k; j < before.length && before[j]!.left <= x; j++) {
        const root = rootOf(before[j]!.blob);
        if (blob < 0) blob = root;
        else if (root !== blob) {
          parents[root] = blob;
          absorb(blobs[blob]!, blobs[root]!);
        }
      }
      const count = x - left + 1;
      const run: Blob = {
        area: count,
        sumX: (count * (left + x)) / 2,
        sumY: count * y,
        left,
        right: x,
        top: y,
        bottom: y,
      };
      if (blob < 0) {
        blob = blobs.push(run) - 1;
        parents.push(blob);
      } else absorb(blobs[blob]!, run);
      runs.push({ left, right: x, blob });
    }
    before = runs;
  }
  return blobs.filter((_, i) => parents[i] === i);
}

function absorb(into: Blob, other: Blob): void {
  into.area += other.area;
  into.sumX += other.sumX;
  into.sumY += other.sumY;
  into.left = Math.min(into.left, other.left);
  into.right = Math.max(into.right, other.right);
  into.top = Math.min(into.top, other.top);
  into.bottom = Math.max(into.bottom, other.bottom);
}

/** Mean over a square of 2 r + 1 pixels round each pixel, cut off at the picture's edge. */
function localMean(value: Uint8Array, width: number, height: number, r: number): Float32Array {
  const sums = new Float64Array((width + 1) * (height + 1));
  for (let y = 0; y < height; y++) {
    let row = 0;
    for (let x = 0; x < width; x++) {
      row += value[y * width + x]!;
      sums[(y + 1) * (width + 1) + x + 1] = sums[y * (width + 1) + x + 1]! + row;
    }
  }
  const mean = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    const top = Math.max(0, y - r) * (width + 1);
    const bottom = Math.min(height, y + r + 1) * (width + 1);
    for (let x = 0; x < width; x++) {
      const left = Math.max(0, x - r);
      const right = Math.min(width, x + r + 1);
      mean[y * width + x] =
        (sums[bottom + right]! - sums[bottom + left]! - sums[top + right]! + sums[top + left]!) /
        ((right - left) * ((bottom - top) / (width + 1)));
    }
  }
  return mean;
}
