// Of cells that each look like unexposed paper, those that lie on one sheet under one light: a ruler or card beside the
// print is another.
import { fitLightField, type LightField, type PaperCell } from "./light-field.ts";

/** Cells nearer than this (strip lengths) are compared with each other. */
const besideLengths = 0.12;
/**
 * Neighbours on one sheet differ by less than this (natural logarithm), and by so much more for each strip length
 * between them.
 * Source: common practice, no source.
 */
const sameTone = { light: 0.03, lightPerLength: 1, hue: 0.02, huePerLength: 0.1 };
/** A group with this share of all cells needs no comparison. */
const nearlyAllShare = 0.9;
/** Smallest group that may propose a surface, and most of them. */
const fewestCells = 3;
const mostGroups = 6;
/** Hue changes over the picture by this share of what light does. */
const hueShare = 0.3;
/** Cells within this of a surface (natural logarithm) agree with it. */
const agreeing = 0.03;

/**
 * The cells of the sheet that the print is on: of all smooth surfaces that one or two groups of like neighbours
 * suggest, the one that most cells agree with, on most sides of the strip.
 * @param cells cells that may be paper, strip coordinates
 * @param aspect height of the strip as a share of its length
 * @returns all of them where nearly all hang together
 * Source: common practice, no source (consensus of proposals)
 */
export function cellsOfOneSurface(cells: readonly PaperCell[], aspect: number): readonly PaperCell[] {
  const pairs = pairsBeside(cells, aspect);
  const groups = groupsOfLikeNeighbours(cells, pairs);
  if (groups.length === 0 || groups[0]!.length >= nearlyAllShare * cells.length) return cells;
  const proposing = groups.filter((group) => group.length >= fewestCells).slice(0, mostGroups);
  const apart = proposing.map((group) => proposing.filter((other) => other !== group && touch(group, other, pairs)));
  let best = { cells, score: 0 };
  proposing.forEach((group, i) => {
    for (const proposal of [
      group,
      ...proposing
        .slice(i + 1)
        .filter((other) => !apart[i]!.includes(other))
        .map((other) => [...group, ...other]),
    ]) {
      // A small group says little about far places: what it does not contradict helps to settle the surface first.
      const others = new Set(proposing.filter((_, k) => apart[k]!.some((one) => proposal.includes(one[0]!))).flat());
      const possible = cells.filter((cell) => !others.has(cell));
      const settled = agreeingCells(possible, fitLightField(proposal, { aspect }), 2);
      const agree = agreeingCells(possible, fitLightField(settled, { aspect }), 0);
      const score = sidesScore(agree);
      if (score > best.score) best = { cells: agree, score };
    }
  });
  return best.cells;
}

interface Pair {
  readonly a: PaperCell;
  readonly b: PaperCell;
  readonly isSameTone: boolean;
}

/** Every two cells that lie beside each other. */
function pairsBeside(cells: readonly PaperCell[], aspect: number): Pair[] {
  const pairs: Pair[] = [];
  for (let i = 1; i < cells.length; i++) {
    const a = cells[i]!;
    for (let k = 0; k < i; k++) {
      const b = cells[k]!;
      const [along, across] = [a.u - b.u, (a.v - b.v) * aspect];
      const square = along * along + across * across;
      if (square < besideLengths ** 2) pairs.push({ a, b, isSameTone: isSameTone(a, b, Math.sqrt(square)) });
    }
  }
  return pairs;
}

function isSameTone(a: PaperCell, b: PaperCell, apart: number): boolean {
  const by = a.logLight.map((log, c) => log - b.logLight[c]!);
  const hue = sameTone.hue + sameTone.huePerLength * apart;
  return (
    by.every((each) => Math.abs(each) < sameTone.light + sameTone.lightPerLength * apart) &&
    Math.abs(by[2]! - by[0]!) < hue &&
    Math.abs(by[1]! - by[0]!) < hue
  );
}

/** Groups of cells that hang together by neighbours of like tone, largest first. */
function groupsOfLikeNeighbours(cells: readonly PaperCell[], pairs: readonly Pair[]): PaperCell[][] {
  const parent = new Map<PaperCell, PaperCell>();
  const rootOf = (cell: PaperCell): PaperCell => {
    let root = cell;
    for (let above = parent.get(root); above !== undefined; above = parent.get(root)) root = above;
    return root;
  };
  for (const { a, b, isSameTone: alike } of pairs) {
    const [one, other] = [rootOf(a), rootOf(b)];
    if (alike && one !== other) parent.set(one, other);
  }
  const members = new Map<PaperCell, PaperCell[]>();
  for (const cell of cells) members.set(rootOf(cell), [...(members.get(rootOf(cell)) ?? []), cell]);
  return [...members.values()].sort((a, b) => b.length - a.length);
}

/** Whether two groups lie side by side, and so are two surfaces. */
function touch(group: readonly PaperCell[], other: readonly PaperCell[], pairs: readonly Pair[]): boolean {
  return (
    pairs.filter(({ a, b }) => (group.includes(a) && other.includes(b)) || (group.includes(b) && other.includes(a)))
      .length >= fewestCells
  );
}

/** Cells that agree with a surface, by so many of its own standard uncertainties more. */
function agreeingCells(cells: readonly PaperCell[], field: LightField, sigmas: number): PaperCell[] {
  return cells.filter((cell) => {
    const at = field.logAt(cell.u, cell.v);
    const off = cell.logLight.map((log, c) => log - at[c]!);
    const slack = sigmas * field.sigmaAt(cell.u, cell.v);
    const hue = sameTone.hue + slack * hueShare;
    return (
      off.every((each) => Math.abs(each) < agreeing + slack) &&
      Math.abs(off[2]! - off[0]!) < hue &&
      Math.abs(off[1]! - off[0]!) < hue
    );
  });
}

/** Which side of the strip a place lies on: 0 above, 1 below, 2 before its first step, 3 behind its last. */
function sideOf(u: number, v: number): number {
  if (v < 0) return 0;
  if (v > 1) return 1;
  return u < 0.5 ? 2 : 3;
}

/**
 * Several sides count for more than many cells on one, and near cells, which lie on the print's own paper, for more
 * than far ones.
 */
function sidesScore(cells: readonly PaperCell[]): number {
  const sides = [0, 1, 2, 3].map(() => ({ count: 0, away: 0 }));
  for (const { u, v } of cells) {
    const side = sides[sideOf(u, v)]!;
    side.count++;
    side.away += Math.max(0, -v, v - 1);
  }
  return sides.reduce(
    (sum, { count, away }) => sum + (count === 0 ? 0 : count / (count + fewestCells) / (1 + away / count)),
    0,
  );
}
