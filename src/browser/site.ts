// Small comforts on every page: plots tell their figures and open large, the colour choice takes effect at once, no
// form is sent twice, other devices are heard.
import { writeAsReaderAsks, writingFrom } from "#shared/format/writing.ts";
import { openCloserLooks } from "./parts/closer/open-closer.ts";
import { tellCurveFigures } from "./parts/curve-reading.ts";
import { guardForms } from "./parts/form-guard.ts";
import { keepPartsLive } from "./parts/live/live-parts.ts";
import { tellPlotFigures } from "./parts/plot-reading.ts";
import { followThemeChoice } from "./parts/theme-choice.ts";

const writing = writingFrom(document.documentElement.dataset.writing ?? "");
writeAsReaderAsks(() => writing);
followThemeChoice();
guardForms();
keepPartsLive();
tellCurveFigures();
tellPlotFigures();
openCloserLooks();
