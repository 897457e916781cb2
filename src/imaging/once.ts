// What is loaded from an installed package when it is first needed, and never changes: a font, a decoder.

/** The same value at every call, made at the first one; a load that throws is tried again. */
export function once<Value>(load: () => Value): () => Value {
  let made: { readonly value: Value } | undefined;
  return () => {
    made ??= { value: load() };
    return made.value;
  };
}
