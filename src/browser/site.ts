// Small comforts on every page: charts come alive, the colour choice takes effect at once, no form is sent twice.
import { drawPlots } from "./parts/chart.ts";
import { guardForms } from "./parts/form-guard.ts";
import { followThemeChoice } from "./parts/theme.ts";

followThemeChoice();
guardForms();
void drawPlots(document);
