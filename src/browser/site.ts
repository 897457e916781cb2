// Small comforts on every page: charts come alive, the colour choice takes effect at once, no form is sent twice, other
// devices are heard.
import { drawPlots } from "./parts/chart.ts";
import { tellCurveFigures } from "./parts/curve-reading.ts";
import { guardForms } from "./parts/form-guard.ts";
import { keepPartsLive } from "./parts/live/live-parts.ts";
import { followThemeChoice } from "./parts/theme-choice.ts";

followThemeChoice();
guardForms();
keepPartsLive();
tellCurveFigures();
void drawPlots(document);
