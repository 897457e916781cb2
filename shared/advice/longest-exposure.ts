/** Longest exposure that anyone makes: ten days [s], the same limit as the schema's. */
export const maxExposureSeconds = 864_000;
