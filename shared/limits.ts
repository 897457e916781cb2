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
