// Lamps, supports, coatings and films: adding one and changing it.
import type { z } from "zod";
import {
  coatingInputSchema,
  filmInputSchema,
  lampInputSchema,
  supportInputSchema,
  type Coating,
  type Film,
  type FilmInput,
  type Lamp,
  type MaterialKind,
  type Support,
} from "#shared/schema/materials.ts";
import type { MaterialTable } from "#src/store/records/materials.ts";
import { lampKindOfName } from "#shared/lamp/kind-of-name.ts";
import { changeFilm } from "./change-film.ts";
import { refuseIfChanged } from "#src/studio/seen-version.ts";
import { forWriting, type Tools } from "#src/studio/tools.ts";

export type Material = Lamp | Support | Coating | Film;

interface Desk {
  add(input: unknown): Material;
  change(id: string, changes: Readonly<Record<string, unknown>>): Material;
}

function deskOf<Kept extends Material, Input>(table: MaterialTable<Kept, Input>, schema: z.ZodType<Input>): Desk {
  return {
    add: (input) => table.create(schema.parse(input)),
    change: (id, changes) => table.replace(id, schema.parse({ ...table.get(id), ...changes })),
  };
}

function desk({ store }: Pick<Tools, "store">, kind: MaterialKind): Desk {
  const { lamps, supports, coatings, films } = forWriting(store);
  const filmsWithTests = { ...films, replace: (id: string, input: FilmInput) => changeFilm({ store }, id, input) };
  switch (kind) {
    case "lamps":
      return deskOf(lamps, lampInputSchema);
    case "supports":
      return deskOf(supports, supportInputSchema);
    case "coatings":
      return deskOf(coatings, coatingInputSchema);
    case "films":
      return deskOf(filmsWithTests, filmInputSchema);
  }
}

/** @throws ZodError when the input is no such material */
export function addMaterial(tools: Pick<Tools, "store">, kind: MaterialKind, input: unknown): Material {
  return desk(tools, kind).add(input);
}

/**
 * Changes the named fields; the others stay.
 * @param seenVersion of the material that the changes were made on; absent checks nothing
 * @throws InputError "not-found", "changed-meanwhile"
 * @throws ZodError when the changed whole is no such material
 */
export function changeMaterial(
  tools: Pick<Tools, "store">,
  { kind, id, changes, seenVersion }: MaterialChange,
): Material {
  refuseIfChanged(seenVersion, tools.store[kind].get(id), changes);
  return desk(tools, kind).change(id, changes);
}

interface MaterialChange {
  readonly kind: MaterialKind;
  readonly id: string;
  readonly changes: Readonly<Record<string, unknown>>;
  readonly seenVersion?: string | undefined;
}

/** Most characters of a name typed in place. */
const longestName = 120;

/**
 * Id of the material of this name, archived ones too; added when there is none. What it is, its name lets guess.
 * @param baseDensity of a film, where it is known
 */
export function materialOfName(
  tools: Pick<Tools, "store">,
  { kind, name: typed, baseDensity }: { kind: MaterialKind; name: string; baseDensity?: number | undefined },
): string {
  const name = typed.trim().slice(0, longestName);
  const known = idOfName(tools, kind, name);
  return known ?? addMaterial(tools, kind, { name, ...natureFrom(kind, name, baseDensity) }).id;
}

/** Id of the material of this name, whatever its letter case; undefined when there is none. */
export function idOfName({ store }: Pick<Tools, "store">, kind: MaterialKind, name: string): string | undefined {
  const wanted = name.trim().slice(0, longestName).toLowerCase();
  return store[kind].list({ archived: true }).find((material) => material.name.toLowerCase() === wanted)?.id;
}

function natureFrom(kind: MaterialKind, name: string, baseDensity: number | undefined): Record<string, unknown> {
  switch (kind) {
    case "lamps":
      return { kind: lampKindOfName(name) };
    case "supports":
      return { kind: /cotton|cloth|fabric|linen|silk/i.test(name) ? "fabric" : "paper" };
    case "coatings":
      return {};
    case "films":
      return { baseDensity: baseDensity !== undefined && baseDensity >= 0 && baseDensity <= 3 ? baseDensity : null };
  }
}
