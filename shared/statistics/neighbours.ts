// Who meets whom: neighbours in the graph that small groups of unknowns make.

/**
 * All that each unknown meets in any group, itself not among them, each once.
 * @param groups numbers of the unknowns that meet, each from 0 to size - 1, none twice in a group
 */
export function neighboursOf(size: number, groups: readonly (readonly number[])[]): number[][] {
  const groupsWith = Array.from({ length: size }, (): (readonly number[])[] => []);
  for (const group of groups) for (const each of group) groupsWith[each]!.push(group);
  const metBy = new Int32Array(size).fill(-1);
  return groupsWith.map((own, one) => {
    const met: number[] = [];
    metBy[one] = one;
    for (const group of own) {
      for (const other of group) {
        if (metBy[other] === one) continue;
        metBy[other] = one;
        met.push(other);
      }
    }
    return met;
  });
}
