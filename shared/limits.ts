// Numbers that requests, the core and the pages must agree on.

/** Longest exposure that anyone makes: ten days [s]. common practice, no source */
export const maxExposureSeconds = 864_000;

/** Longest exposure in the sun that can be an anchor: a day [s]. common practice, no source */
export const maxAnchorSeconds = 86_400;

/** Share of net D-max at which the shoulder is read and tests keep their time. Source: Iso6846, borrowed. */
export const shoulderShare = 0.9;

/**
 * Share of a step's width and height that is left free on each side of the box it is read from: halos, blur and a
 * little misplacement live there. common practice, no source
 */
export const boxMarginShare = 0.2;

/** Share of luminance that each linear sRGB primary carries: red, green, blue. Source: iec-61966-2-1. */
export const luminanceWeights = [0.2126, 0.7152, 0.0722] as const;
