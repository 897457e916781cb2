// Lamps, supports, coatings and films: four tables of one shape.
import type { z } from "zod";
import { InputError } from "#shared/errors.ts";
import {
  coatingInputSchema,
  filmInputSchema,
  lampInputSchema,
  supportInputSchema,
  type Coating,
  type CoatingInput,
  type Film,
  type FilmInput,
  type Lamp,
  type LampInput,
  type MaterialKind,
  type Support,
  type SupportInput,
} from "#shared/schema/materials.ts";
import { keptCurveInputSchema, type KeptCurve, type KeptCurveInput } from "#shared/schema/kept-curve.ts";
import { printerInputSchema, type Printer, type PrinterInput } from "#shared/schema/printers.ts";
import { stockInputSchema, type Stock, type StockInput } from "#shared/schema/stocks.ts";
import { tabletInputSchema, type OwnTablet, type TabletInput } from "#shared/schema/tablets.ts";
import { laterThan, newId } from "#src/store/ids.ts";
import { withoutWhatNoLongerFits } from "./old-record.ts";
import { isForeignKeyError, type Sql, type SqlRow } from "#src/store/sql.ts";

export interface MaterialTable<Material, Input> {
  /** By name; archived ones only when asked for. */
  list(options?: { archived?: boolean }): Material[];
  find(id: string): Material | undefined;
  /** @throws InputError "not-found". */
  get(id: string): Material;
  create(input: Input, options?: { id?: string }): Material;
  /** Replaces the whole record. @throws InputError "not-found". */
  replace(id: string, input: Input): Material;
  /** @throws InputError "not-found", or "in-use" while something refers to it. */
  remove(id: string): void;
  /** Number of tests made with it. */
  countTests(id: string): number;
}

export interface MaterialTables {
  readonly lamps: MaterialTable<Lamp, LampInput>;
  readonly supports: MaterialTable<Support, SupportInput>;
  readonly coatings: MaterialTable<Coating, CoatingInput>;
  readonly films: MaterialTable<Film, FilmInput>;
}

/** Tables of the same shape whose records no test refers to. */
type LikeMaterial = "stocks" | "tablets" | "printers" | "kept_curves";

/** What one record is called in messages. */
const materialNouns: Readonly<Record<MaterialKind | LikeMaterial, string>> = {
  lamps: "lamp",
  supports: "support",
  coatings: "coating",
  films: "film",
  stocks: "stock solution",
  tablets: "tablet",
  printers: "printer",
  kept_curves: "tone curve",
};

export function materialTables(sql: Sql, now: () => Date): MaterialTables {
  return {
    lamps: materialTable<Lamp, LampInput>({ sql, now, kind: "lamps", schema: lampInputSchema }),
    supports: materialTable<Support, SupportInput>({ sql, now, kind: "supports", schema: supportInputSchema }),
    coatings: materialTable<Coating, CoatingInput>({ sql, now, kind: "coatings", schema: coatingInputSchema }),
    films: materialTable<Film, FilmInput>({ sql, now, kind: "films", schema: filmInputSchema }),
  };
}

/** Bottles on the shelf: kept like a material, though no test refers to one. */
export type StockTable = Omit<MaterialTable<Stock, StockInput>, "countTests">;

export function stockTable(sql: Sql, now: () => Date): StockTable {
  return materialTable<Stock, StockInput>({ sql, now, kind: "stocks", schema: stockInputSchema });
}

/** Step tablets of the studio: kept likewise; a test carries the densities that it was made with. */
export type TabletTable = Omit<MaterialTable<OwnTablet, TabletInput>, "countTests">;

export function tabletTable(sql: Sql, now: () => Date): TabletTable {
  return materialTable<OwnTablet, TabletInput>({ sql, now, kind: "tablets", schema: tabletInputSchema });
}

/** Printers of film. */
export type PrinterTable = Omit<MaterialTable<Printer, PrinterInput>, "countTests">;

export function printerTable(sql: Sql, now: () => Date): PrinterTable {
  return materialTable<Printer, PrinterInput>({ sql, now, kind: "printers", schema: printerInputSchema });
}

/** Tone curves as they were kept. */
export type KeptCurveTable = Omit<MaterialTable<KeptCurve, KeptCurveInput>, "countTests" | "replace">;

export function keptCurveTable(sql: Sql, now: () => Date): KeptCurveTable {
  return materialTable<KeptCurve, KeptCurveInput>({ sql, now, kind: "kept_curves", schema: keptCurveInputSchema });
}

interface MaterialTableOptions<Input> {
  readonly sql: Sql;
  readonly now: () => Date;
  readonly kind: MaterialKind | LikeMaterial;
  /** Fills fields that an older version did not write. */
  readonly schema: z.ZodType<Input>;
}

function materialTable<
  Material extends Input & { id: string; createdAt: string; updatedAt: string },
  Input extends { name: string; archived: boolean },
>({ sql, now, kind, schema }: MaterialTableOptions<Input>): MaterialTable<Material, Input> {
  const noun = materialNouns[kind];

  function materialFrom(row: SqlRow): Material {
    const input = withoutWhatNoLongerFits(schema, JSON.parse(String(row["record"])));
    return {
      ...input,
      id: String(row["id"]),
      createdAt: String(row["created_at"]),
      updatedAt: String(row["updated_at"]),
    } as Material;
  }

  function find(id: string): Material | undefined {
    const row = sql.get(`SELECT id, created_at, updated_at, record FROM ${kind} WHERE id = ?`, id);
    return row === undefined ? undefined : materialFrom(row);
  }

  function get(id: string): Material {
    const material = find(id);
    if (material === undefined)
      throw new InputError(
        "not-found",
        `There is no ${noun} "${id}". It may have been deleted; look at the list of ${noun}s.`,
      );
    return material;
  }

  return {
    find,
    get,
    list({ archived = false } = {}) {
      const where = archived ? "" : "WHERE archived = 0";
      return sql
        .all(`SELECT id, created_at, updated_at, record FROM ${kind} ${where} ORDER BY name COLLATE NOCASE, id`)
        .map(materialFrom);
    },
    create(input, { id = newId() } = {}) {
      const at = now().toISOString();
      sql.run(
        `INSERT INTO ${kind} (id, created_at, updated_at, name, archived, record) VALUES (?, ?, ?, ?, ?, ?)`,
        id,
        at,
        at,
        input.name,
        input.archived ? 1 : 0,
        JSON.stringify(input),
      );
      return get(id);
    },
    replace(id, input) {
      const { updatedAt } = get(id);
      sql.run(
        `UPDATE ${kind} SET updated_at = ?, name = ?, archived = ?, record = ? WHERE id = ?`,
        laterThan(updatedAt, now()),
        input.name,
        input.archived ? 1 : 0,
        JSON.stringify(input),
        id,
      );
      return get(id);
    },
    remove(id) {
      const { name } = get(id);
      try {
        sql.run(`DELETE FROM ${kind} WHERE id = ?`, id);
      } catch (error) {
        if (!isForeignKeyError(error)) throw error;
        throw new InputError(
          "in-use",
          `The ${noun} "${name}" is used by saved work, so it cannot be deleted. Archive it instead: it then ` +
            "leaves the lists, and the work keeps it.",
          { cause: error },
        );
      }
    },
    countTests(id) {
      return Number(sql.get(`SELECT count(*) AS n FROM tests WHERE ${noun}_id = ?`, id)?.["n"] ?? 0);
    },
  };
}
