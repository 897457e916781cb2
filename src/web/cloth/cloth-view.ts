// The page of a cloth: what is known of it, what it shrank by, and what prints on it take.
import { formatLength, formatSize } from "#shared/format/length.ts";
import { formatFixed } from "#shared/format/number.ts";
import type { Support } from "#shared/schema/materials.ts";
import type { Cloth, ClothPlan, ClothPlanQuery } from "#shared/schema/workshop/cloth.ts";
import { errorSummary } from "#src/web/parts/form-errors.ts";
import {
  isTicked,
  numberListOf,
  numberOf,
  textOf,
  type FieldErrors,
  type FormValues,
} from "#src/web/parts/form-values.ts";

/** Ids of the page's fields, from top to bottom. */
const fieldOrder = [
  ["finishedWidthMm", "cloth-finished-width"],
  ["finishedHeightMm", "cloth-finished-height"],
  ["allowanceMm", "cloth-allowance"],
  ["pieces", "cloth-pieces"],
  ["repeatMm", "cloth-repeat"],
  ["pricePerMl", "cloth-price-ml"],
  ["beforeMm", "cloth-before"],
  ["alongMm", "cloth-along"],
  ["acrossMm", "cloth-across"],
  ["fibre", "cloth-fibre"],
  ["gramsPerM2", "cloth-grams"],
  ["scour", "cloth-scour"],
  ["widthMm", "cloth-width"],
  ["pricePerMetre", "cloth-price"],
] as const;

/** How the fields are called where something is wrong with them. */
export const clothLabels: Readonly<Record<string, string>> = {
  finishedWidthMm: "The finished width",
  finishedHeightMm: "The finished height",
  allowanceMm: "The cloth left round it",
  pieces: "The number of pieces",
  repeatMm: "The repeat",
  pricePerMl: "The price of a millilitre",
  beforeMm: "The distance before",
  alongMm: "The lengths along",
  acrossMm: "The lengths across",
  fibre: "The fibre",
  gramsPerM2: "The weight",
  scour: "The scour",
  widthMm: "The width",
  pricePerMetre: "The price of a metre",
};

/** A cloth from its form, over what the form does not ask. */
export function clothFrom(values: FormValues, before: Partial<Cloth>): Record<string, unknown> {
  return {
    ...before,
    fibre: textOf(values, "fibre"),
    gramsPerM2: numberOf(values, "gramsPerM2") ?? null,
    scour: textOf(values, "scour"),
    isPreShrunk: isTicked(values, "isPreShrunk"),
    widthMm: numberOf(values, "widthMm") ?? null,
    pricePerMetre: numberOf(values, "pricePerMetre") ?? null,
  };
}

/** Marks before and after the wash from their form. */
export function shrinkageFrom(values: FormValues): Record<string, unknown> {
  return {
    beforeMm: numberOf(values, "beforeMm"),
    alongMm: numberListOf(textOf(values, "alongMm")),
    acrossMm: numberListOf(textOf(values, "acrossMm")),
  };
}

/** What is asked of a plan; null while no size is given. */
export function planQueryFrom(values: FormValues): Record<string, unknown> | null {
  const names = ["finishedWidthMm", "finishedHeightMm", "allowanceMm", "pieces", "repeatMm", "pricePerMl"] as const;
  const asked = names.flatMap((name): [string, number][] => {
    const value = numberOf(values, name);
    return value === undefined ? [] : [[name, value]];
  });
  const query: Partial<Record<keyof ClothPlanQuery, number>> = Object.fromEntries(asked);
  return query.finishedWidthMm === undefined && query.finishedHeightMm === undefined ? null : query;
}

function valuesOf(cloth: Partial<Cloth>): FormValues {
  const text = (value: number | null | undefined): string => (value == null ? "" : String(value));
  return {
    fibre: cloth.fibre ?? "",
    gramsPerM2: text(cloth.gramsPerM2),
    scour: cloth.scour ?? "",
    isPreShrunk: cloth.isPreShrunk === true ? "yes" : "",
    widthMm: text(cloth.widthMm),
    pricePerMetre: text(cloth.pricePerMetre),
    allowanceMm: "20",
    pieces: "1",
  };
}

interface ClothPage {
  readonly support: Support;
  readonly plan: ClothPlan | null;
  readonly values: FormValues;
  readonly errors: FieldErrors;
}

export function clothView({ support, plan, values, errors }: ClothPage) {
  const cloth: Partial<Cloth> = support.cloth ?? {};
  return {
    id: support.id,
    name: support.name,
    version: support.updatedAt,
    values: { ...valuesOf(cloth), ...values },
    errors,
    summary: errorSummary(errors, fieldOrder),
    shrinkage: [
      { way: "along the warp", found: cloth.shrinkAlong },
      { way: "across it", found: cloth.shrinkAcross },
    ].flatMap(({ way, found }) =>
      found == null
        ? []
        : [`${formatFixed(found.percent, 1)} % ${way} (± ${formatFixed(2 * found.sigmaPercent, 1)} %)`],
    ),
    rows: plan === null ? [] : planRows(plan),
    warnings: plan?.warnings.map(({ message }) => message) ?? [],
  };
}

type Row = { readonly term: string; readonly value: string; readonly note: string };

function planRows(plan: ClothPlan): Row[] {
  const { print, cut, registerMissMm: miss, secondLayerScale: scale } = plan;
  const finished = (each: ClothPlan["print"]["across"]): string =>
    `${formatLength(each.lowerFinishedMm)} to ${formatLength(each.upperFinishedMm)}`;
  return [
    {
      term: "Print it",
      value: formatSize(print.across.mm, print.along.mm),
      note: `after the wash ${finished(print.across)} across, ${finished(print.along)} along, 95 times in a hundred`,
    },
    { term: "Cut the cloth", value: formatSize(cut.widthMm, cut.lengthMm), note: "across, and along the warp" },
    {
      term: "A second layer after a wash",
      value: `${formatFixed(100 * scale.across, 1)} × ${formatFixed(100 * scale.along, 1)} % of the first negative`,
      note: `its edges may still miss by ${formatLength(miss.across, 1)} across, ${formatLength(miss.along, 1)} along`,
    },
    ...yardageRows(plan),
    ...coatingRows(plan),
    ...costRows(plan),
  ];
}

function yardageRows({ yardage, repeat }: ClothPlan): Row[] {
  const metres = (mm: number): string => `${formatFixed(mm / 1000, 2)} m`;
  return [
    ...(yardage === null
      ? []
      : [
          {
            term: "Cloth",
            value: metres(yardage.lengthMm),
            note: `${yardage.across} side by side, ${yardage.rows} ${yardage.rows === 1 ? "row" : "rows"}`,
          },
        ]),
    ...(repeat === null
      ? []
      : [
          {
            term: "Repeat on the negative",
            value: formatLength(repeat.mm, 1),
            note: `${formatFixed(repeat.perMetre, 2)} repeats in a metre of unwashed cloth`,
          },
        ]),
  ];
}

function coatingRows({ coating }: ClothPlan): Row[] {
  if (coating === null) return [];
  const ml = (value: number): string => `${formatFixed(value, value < 10 ? 1 : 0)} ml`;
  return [
    {
      term: "Sensitizer",
      value: `${ml(coating.mlForAll)} in all, ${ml(coating.mlPerPrint)} a print`,
      note:
        `${ml(coating.mlPerM2)} a square metre (${ml(coating.lowerMlPerM2)} to ${ml(coating.upperMlPerM2)} in ` +
        `${coating.prints} ${coating.prints === 1 ? "print" : "prints"} on it)` +
        (coating.mlPerMetre === null ? "" : `; ${ml(coating.mlPerMetre)} a metre over the whole width`),
    },
  ];
}

function costRows({ cost }: ClothPlan): Row[] {
  const money = (value: number): string => formatFixed(value, 2);
  const parts = [
    ...(cost.clothPerPrint === null ? [] : [`cloth ${money(cost.clothPerPrint)}`]),
    ...(cost.coatingPerPrint === null ? [] : [`sensitizer ${money(cost.coatingPerPrint)}`]),
  ];
  return [
    ...(cost.perPrint === null
      ? []
      : [{ term: "Cost of a print", value: money(cost.perPrint), note: `${parts.join(", ")}, in your own money` }]),
    ...(cost.perMetre === null
      ? []
      : [{ term: "Cost of a metre", value: money(cost.perMetre), note: "cloth, and what covers its whole width" }]),
    ...(cost.forAll === null ? [] : [{ term: "Cost of all", value: money(cost.forAll), note: "" }]),
  ];
}
