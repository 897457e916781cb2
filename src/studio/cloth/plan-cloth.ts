// Cloth: what it shrinks by, and what prints on it take of it, of sensitizer and of money.
import { roundedTo } from "#shared/format/number.ts";
import { coverageOf } from "#shared/coating/coverage.ts";
import { coatingPerMetreMl, mlPerM2From, yardageOf, type CutPiece } from "#shared/prints/cloth/yardage.ts";
import { registerMissMm, shrinkageOf, sizeToPrint, type Shrinkage } from "#shared/prints/cloth/finished-size.ts";
import type { ClothWarning } from "#shared/prints/cloth/cloth-facts.ts";
import type { Support } from "#shared/schema/materials.ts";
import type { Cloth, ClothPlan, ClothPlanQuery, ShrinkageRequest } from "#shared/schema/workshop/cloth.ts";
import { clothWarningWords } from "#shared/words/cloth/cloth-words.ts";
import { inWords } from "#shared/words/sentences.ts";
import { changeMaterial } from "#src/studio/materials/keep-material.ts";
import type { Tools } from "#src/studio/tools.ts";

const none: Shrinkage = { percent: 0, sigmaPercent: 0 };
/** Prints whose use of sensitizer is looked at, newest first. */
const mostPrints = 500;

/**
 * Keeps with a cloth what it shrank by: marks before and after the wash. A way that was not measured stays as it was.
 * @throws InputError "not-found"
 */
export function keepShrinkage({ store }: Pick<Tools, "store">, supportId: string, asked: ShrinkageRequest): Support {
  const { cloth } = store.supports.get(supportId);
  const measured = (afterMm: readonly number[], before: Shrinkage | null | undefined): Shrinkage | null =>
    afterMm.length === 0 ? (before ?? null) : rounded(shrinkageOf(asked.beforeMm, afterMm));
  const changes: { readonly cloth: Partial<Cloth> } = {
    cloth: {
      ...cloth,
      shrinkAlong: measured(asked.alongMm, cloth?.shrinkAlong),
      shrinkAcross: measured(asked.acrossMm, cloth?.shrinkAcross),
    },
  };
  changeMaterial({ store }, { kind: "supports", id: supportId, changes });
  return store.supports.get(supportId);
}

function rounded({ percent, sigmaPercent }: Shrinkage): Shrinkage {
  return { percent: roundedTo(percent, 3), sigmaPercent: roundedTo(sigmaPercent, 3) };
}

/**
 * What prints of a wanted finished size take of a cloth.
 * @throws InputError "not-found"
 */
export function planCloth({ store }: Pick<Tools, "store">, supportId: string, query: ClothPlanQuery): ClothPlan {
  const cloth = store.supports.get(supportId).cloth ?? null;
  const [acrossShrinkage, alongShrinkage] = [cloth?.shrinkAcross ?? none, cloth?.shrinkAlong ?? none];
  const across = sizeToPrint(query.finishedWidthMm, acrossShrinkage);
  const along = sizeToPrint(query.finishedHeightMm, alongShrinkage);
  const cut: CutPiece = { widthMm: across.mm + 2 * query.allowanceMm, lengthMm: along.mm + 2 * query.allowanceMm };
  const clothWidthMm = cloth?.widthMm ?? null;
  const yardage = yardageOf(cut, query.pieces, clothWidthMm);
  const coating = coatingFor(store, supportId, {
    areaM2: (across.mm * along.mm) / 1e6,
    pieces: query.pieces,
    clothWidthMm,
  });
  const repeatMm = query.repeatMm === undefined ? null : sizeToPrint(query.repeatMm, alongShrinkage).mm;
  return {
    supportId,
    print: { across, along },
    cut,
    registerMissMm: {
      across: registerMissMm(query.finishedWidthMm, acrossShrinkage),
      along: registerMissMm(query.finishedHeightMm, alongShrinkage),
    },
    secondLayerScale: { across: 1 - acrossShrinkage.percent / 100, along: 1 - alongShrinkage.percent / 100 },
    yardage,
    repeat: repeatMm === null ? null : { mm: repeatMm, perMetre: 1000 / repeatMm },
    coating,
    cost: costOf({
      yardage,
      pieces: query.pieces,
      pricePerMetre: cloth?.pricePerMetre ?? null,
      coating,
      pricePerMl: query.pricePerMl,
    }),
    warnings: inWords(warningsOf(cloth, { cut, yardage, coating }), clothWarningWords),
  };
}

/** What is not known, or does not fit. */
function warningsOf(
  cloth: Cloth | null,
  { cut, yardage, coating }: Pick<ClothPlan, "yardage" | "coating"> & { cut: CutPiece },
): ClothWarning[] {
  const clothWidthMm = cloth?.widthMm ?? null;
  const warnings: ClothWarning[] = [];
  if (!cloth?.shrinkAcross || !cloth.shrinkAlong) warnings.push({ code: "shrinkage-not-measured" });
  if (clothWidthMm === null) warnings.push({ code: "cloth-width-unknown" });
  else if (yardage === null) warnings.push({ code: "piece-wider-than-cloth", widthMm: cut.widthMm, clothWidthMm });
  if (coating === null) warnings.push({ code: "coating-use-not-logged" });
  return warnings;
}

/** Sensitizer by the studio's own use on this cloth; null while none was logged. */
function coatingFor(
  store: Tools["store"],
  supportId: string,
  { areaM2, pieces, clothWidthMm }: { areaM2: number; pieces: number; clothWidthMm: number | null },
): ClothPlan["coating"] {
  const logged = store.prints
    .list({ limit: mostPrints, supportId })
    .prints.flatMap(({ areaCm2, coatingMl }) => (areaCm2 && coatingMl ? [{ areaCm2, coatingMl }] : []));
  const coverage = coverageOf(logged);
  if (coverage === null) return null;
  const mlPerM2 = mlPerM2From(coverage.areaCm2PerMl);
  return {
    prints: coverage.prints,
    mlPerM2,
    lowerMlPerM2: mlPerM2From(coverage.upperCm2PerMl),
    upperMlPerM2: mlPerM2From(coverage.lowerCm2PerMl),
    mlPerMetre: clothWidthMm === null ? null : coatingPerMetreMl(mlPerM2, clothWidthMm),
    mlPerPrint: mlPerM2 * areaM2,
    mlForAll: mlPerM2 * areaM2 * pieces,
  };
}

function costOf({
  yardage,
  pieces,
  pricePerMetre,
  coating,
  pricePerMl,
}: {
  yardage: ClothPlan["yardage"];
  pieces: number;
  pricePerMetre: number | null;
  coating: ClothPlan["coating"];
  pricePerMl: number | undefined;
}): ClothPlan["cost"] {
  const clothForAll = yardage === null || pricePerMetre === null ? null : (yardage.lengthMm / 1000) * pricePerMetre;
  const coatingForAll = coating === null || pricePerMl === undefined ? null : coating.mlForAll * pricePerMl;
  const coatingPerMetre =
    coating === null || coating.mlPerMetre === null || pricePerMl === undefined
      ? null
      : coating.mlPerMetre * pricePerMl;
  const forAll = sumOf(clothForAll, coatingForAll);
  return {
    clothPerPrint: clothForAll === null ? null : clothForAll / pieces,
    coatingPerPrint: coatingForAll === null ? null : coatingForAll / pieces,
    perPrint: forAll === null ? null : forAll / pieces,
    perMetre: sumOf(pricePerMetre, coatingPerMetre),
    forAll,
  };
}

/** What is known of a sum; null where neither part is. */
function sumOf(one: number | null, other: number | null): number | null {
  return one === null && other === null ? null : (one ?? 0) + (other ?? 0);
}
