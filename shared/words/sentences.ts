// One sentence for each code of a subject. The compiler refuses a code without its sentence.
import type { Warning } from "#shared/schema/reading.ts";

/** Something found, under a stable code, with whatever numbers it has. */
interface Fact {
  readonly code: string;
}

/** The facts of a union that may carry a code; one fact may stand for several codes. */
type FactWith<F extends Fact, Code> = F extends Fact ? (Code extends F["code"] ? F : never) : never;

/** The sentences of a subject: plain text, or made from the fact's numbers. */
export type Sentences<F extends Fact> = {
  readonly [Code in F["code"]]: string | ((fact: FactWith<F, Code>) => string);
};

/** The sentence of one fact. */
export function sentenceOf<F extends Fact>(sentences: Sentences<F>, fact: F): string {
  // The table pairs each code with a function of just that fact, which an index by code cannot tell the compiler.
  const sentence = sentences[fact.code as F["code"]] as string | ((fact: F) => string);
  return typeof sentence === "string" ? sentence : sentence(fact);
}

/** Facts as an answer or a record carries them. */
export function inWords<F extends Fact>(facts: readonly F[], words: (fact: F) => string): Warning[] {
  return facts.map((fact) => ({ code: fact.code, message: words(fact) }));
}
