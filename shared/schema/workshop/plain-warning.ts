// A warning that carries its sentence and nothing else.
import { z } from "zod";

export const plainWarningSchema = z.object({ code: z.string(), message: z.string() });
