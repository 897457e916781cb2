// What has just been changed, told to whoever listens: other devices show it without being loaded anew.

/**
 * The kinds of record whose changes are told. "everything": a restore exchanged the whole store, or nobody knows any
 * more what was missed.
 */
export type NewsKind =
  | "lamps"
  | "supports"
  | "coatings"
  | "films"
  | "stocks"
  | "tablets"
  | "tests"
  | "prints"
  | "made-negatives"
  | "printers"
  | "kept-curves"
  | "sun-anchors"
  | "sun-frames"
  | "studio-changes"
  | "devices"
  | "queue"
  | "fading"
  | "everything";

export interface News {
  /** Counts up from 1 in each run of the server. */
  readonly number: number;
  readonly kind: NewsKind;
  /** The record; null where many changed together. */
  readonly id: string | null;
  readonly what: "saved" | "removed";
}

interface Listener {
  hear(news: News): void;
  /** Nothing comes any more: the store is being closed. */
  end(): void;
}

export interface NewsReader {
  /** @returns what ends the listening */
  listen(listener: Listener): () => void;
  /** What came after a number; undefined when that is too long ago to know. */
  since(number: number): News[] | undefined;
  /** Number of the newest; 0 before the first. */
  readonly newest: number;
}

export interface NewsBoard extends NewsReader {
  tell(news: Omit<News, "number">): void;
  /** Ends every listening, for good. */
  end(): void;
}

/** So many are remembered for a device that was away for a moment. */
const mostRemembered = 500;

export function newsBoard(): NewsBoard {
  const listeners = new Set<Listener>();
  const remembered: News[] = [];
  let newest = 0;
  let isOver = false;
  return {
    listen(listener) {
      if (isOver) listener.end();
      else listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    since(number) {
      if (number > newest) return undefined;
      const oldest = remembered[0]?.number ?? newest + 1;
      return number < oldest - 1 ? undefined : remembered.filter((each) => each.number > number);
    },
    get newest() {
      return newest;
    },
    tell(told) {
      const news = { ...told, number: ++newest };
      remembered.push(news);
      if (remembered.length > mostRemembered) remembered.shift();
      for (const listener of [...listeners]) listener.hear(news);
    },
    end() {
      isOver = true;
      for (const listener of [...listeners]) listener.end();
      listeners.clear();
    },
  };
}

/** Methods of the tables that change a record, and what they do to it. */
const writes: Readonly<Record<string, News["what"]>> = {
  create: "saved",
  save: "saved",
  replace: "saved",
  leaveOut: "saved",
  remove: "removed",
};

/**
 * The same table, whose every write is told once it is on the disk.
 * @param afterCommit runs work when the transaction under way is done, or at once when there is none; never after one
 *   that failed
 */
export function telling<Table extends object>(
  table: Table,
  kind: NewsKind,
  { board, afterCommit }: { readonly board: NewsBoard; readonly afterCommit: (work: () => void) => void },
): Table {
  const told = Object.entries(table).map(([name, method]: [string, unknown]) => {
    const what = writes[name];
    if (what === undefined || typeof method !== "function") return [name, method];
    const write = (...given: unknown[]): unknown => {
      const result: unknown = method(...given);
      afterCommit(() => board.tell({ kind, id: idOf(result) ?? idOf({ id: given[0] }), what }));
      return result;
    };
    return [name, write];
  });
  // Every method is still there, with the same arguments and results.
  return Object.fromEntries(told) as Table;
}

function idOf(value: unknown): string | null {
  const id: unknown = typeof value === "object" && value !== null && "id" in value ? value.id : null;
  return typeof id === "string" ? id : null;
}
