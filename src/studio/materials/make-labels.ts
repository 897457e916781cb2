// Labels for what stands on the shelf and what was printed.
import type { LabelsRequest } from "#shared/schema/stocks.ts";
import {
  coatingLabelLines,
  printLabelLines,
  printLabelTitle,
  stockLabelLines,
  stripLabelLines,
  stripLabelTitle,
} from "#shared/words/materials/label-words.ts";
import { labelsPdf, type Label } from "#src/output/label-sheet.ts";
import type { Tools } from "#src/studio/tools.ts";

/**
 * A sheet of labels as a PDF: bottles, coatings, prints, strips, then lines of the user's own, each as often as asked.
 * @throws InputError "not-found" for an unknown bottle, coating, print or test
 */
export function makeLabels({ store }: Pick<Tools, "store">, asked: LabelsRequest): Promise<Uint8Array> {
  const hazard = asked.hazards.replaceAll(/\s*\n\s*/g, " · ").trim();
  const labels: Label[] = [
    ...asked.stocks
      .map((id) => store.stocks.get(id))
      .map((stock) => ({
        title: stock.name,
        lines: stockLabelLines(stock),
        hazard,
      })),
    ...asked.coatings
      .map((id) => store.coatings.get(id))
      .map((coating) => ({
        title: coating.name,
        lines: coatingLabelLines(coating),
        hazard,
      })),
    ...asked.prints
      .map((id) => store.prints.get(id))
      .map((print) => ({
        title: printLabelTitle(print),
        lines: printLabelLines(print, {
          support: store.supports.find(print.supportId)?.name ?? "",
          coating: store.coatings.find(print.coatingId)?.name ?? "",
          lamp: store.lamps.find(print.lampId)?.name ?? "",
        }),
        hazard: "",
      })),
    ...asked.tests
      .map((id) => store.tests.get(id))
      .map(({ request, createdAt }) => ({
        title: stripLabelTitle(request.name, request.madeAt ?? createdAt),
        lines: stripLabelLines(
          { exposureSeconds: request.exposureSeconds ?? null, madeAt: request.madeAt ?? createdAt },
          {
            support: store.supports.find(request.supportId)?.name ?? "",
            coating: store.coatings.find(request.coatingId)?.name ?? "",
            lamp: store.lamps.find(request.lampId)?.name ?? "",
          },
        ),
        hazard: "",
      })),
    ...asked.others
      .split("\n")
      .map((line) => line.trim())
      .filter((line) => line !== "")
      .map((title) => ({ title, lines: [], hazard: "" })),
  ];
  const { columns, rows, skip, copies } = asked;
  return labelsPdf({
    labels: labels.flatMap((label) => Array.from({ length: copies }, () => label)),
    columns,
    rows,
    skip: skip % (columns * rows),
  });
}
