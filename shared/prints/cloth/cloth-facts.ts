// What is not known of a cloth, so that its plan says less.

export type ClothWarning =
  | { readonly code: "shrinkage-not-measured" }
  | { readonly code: "coating-use-not-logged" }
  | { readonly code: "cloth-width-unknown" }
  | { readonly code: "piece-wider-than-cloth"; readonly widthMm: number; readonly clothWidthMm: number };
