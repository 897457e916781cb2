// The words for sky, ground and glass that tests, plans and anchors under the sun share.
import { z } from "zod";

/** What the sky does. Open shade is a light of its own: the whole sky without the sun. */
export const skySchema = z.enum(["clear", "thin-cloud", "passing-cloud", "overcast", "open-shade"], {
  error: "the sky is one of clear, thin-cloud, passing-cloud, overcast, open-shade",
});
export type Sky = z.infer<typeof skySchema>;

/** What lies round the frame; it throws light back. */
const groundSchema = z.enum(["grass", "sand", "snow"], {
  error: "the ground is one of grass (also soil, water, paving), sand, snow",
});
export type Ground = z.infer<typeof groundSchema>;

/**
 * Haze as aerosol optical depth at 500 nm at sea level, from where it thins with height: 0.05 very clean, 0.1 ordinary
 * clear, 0.2 humid or city, 0.3 and more hazy.
 */
export const hazeSchema = z.number().min(0, "haze cannot be below 0").max(1, "more haze than 1 is no clear sky");

/** Circumstances that the model needs besides place, time and frame; each may be left out. */
export const sunSurroundingsShape = {
  elevationM: z.number().min(-430, "no dry land lies below -430 m").max(9000, "no land lies above 9000 m").optional(),
  sky: skySchema.optional(),
  ground: groundSchema.optional(),
  haze: hazeSchema.optional(),
  /** Whether ordinary window glass lay over the print. */
  glass: z.boolean().optional(),
  /** Heights of what stands round the frame [°], at even bearings clockwise from true north; free when absent. */
  horizonDegrees: z
    .array(
      z
        .number("the heights are numbers of degrees from 0 to 80")
        .min(0, "nothing stands lower than 0 degrees")
        .max(80, "past 80 degrees there is no sky left to print by"),
    )
    .min(4, "give at least 4 heights, at even bearings from north round by east")
    .max(36, "give at most 36 heights")
    .optional(),
};
