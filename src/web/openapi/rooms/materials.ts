// Routes of lamps, papers, coatings, films, stocks, tablets and the light over a bed.
// A new route is one entry here; a test names what is missing.
import { evennessRequestSchema } from "#shared/schema/evenness.ts";
import { coatingInputSchema, filmInputSchema, lampInputSchema, supportInputSchema } from "#shared/schema/materials.ts";
import { tabletCalibrationSchema, tabletInputSchema } from "#shared/schema/tablets.ts";
import { stockInputSchema } from "#shared/schema/stocks.ts";
import { z } from "zod";
import type { AnswerName } from "#src/web/openapi/answers.ts";
import type { Operation } from "#src/web/openapi/operation.ts";
import { photo, pictureTroubles } from "./picture-parts.ts";

const archivedQuery = z.object({ archived: z.enum(["true", "false"]).default("false") });

function kindOperations(path: string, noun: string, schema: z.ZodObject, gives: AnswerName): Record<string, Operation> {
  return {
    [`GET ${path}`]: {
      summary: `Lists every ${noun} by name`,
      query: archivedQuery,
      gives: [gives],
    },
    [`POST ${path}`]: { summary: `Makes a ${noun}`, body: schema, status: 201, gives, troubles: [413, 415] },
    [`GET ${path}/{id}`]: { summary: `Shows one ${noun}`, gives, troubles: [404] },
    [`PATCH ${path}/{id}`]: {
      summary: `Changes the sent fields of a ${noun}`,
      body: schema.partial(),
      gives,
      troubles: [404, 413, 415],
    },
    [`DELETE ${path}/{id}`]: { summary: `Deletes a ${noun} that nothing uses`, status: 204, troubles: [404, 409] },
  };
}

/** Routes of lamps, papers, coatings, films, stocks, tablets and the light over a bed. */
export const materialOperations: Readonly<Record<string, Operation>> = {
  ...kindOperations("/api/lamps", "lamp", lampInputSchema, "Lamp"),
  ...kindOperations("/api/supports", "paper or fabric", supportInputSchema, "Support"),
  ...kindOperations("/api/coatings", "coating", coatingInputSchema, "Coating"),
  ...kindOperations("/api/films", "film", filmInputSchema, "Film"),
  ...kindOperations("/api/stocks", "stock solution", stockInputSchema, "Stock"),
  ...kindOperations("/api/tablets", "tablet", tabletInputSchema, "OwnTablet"),
  "GET /api/tablets/{id}/in-light": {
    summary: "The tablet as a test's request carries it, in the studio's own light",
    gives: "TabletInLight",
    troubles: [404],
  },
  "POST /api/tablets/{id}/calibrations": {
    summary: "Finds the tablet's densities in the studio's light from its prints, and keeps them",
    body: tabletCalibrationSchema,
    status: 201,
    gives: "CalibratedTablet",
    troubles: [404, 413, 415],
  },
  "POST /api/evenness": {
    summary: "Maps a lamp's light over its bed from a print",
    form: { files: [photo, { name: "evenLight", isRequired: false }], request: evennessRequestSchema },
    gives: "Evenness",
    troubles: pictureTroubles,
  },
};
