// View object of the day's plan.
import { formatDuration } from "#shared/format/duration.ts";
import { formatDay } from "#shared/format/instant.ts";
import type { PlotSpec } from "#shared/format/plot.ts";
import type { SunDayAnswer } from "#shared/schema/sun/day.ts";
import type { StoreReader } from "#src/store/store.ts";
import type { FormValues } from "#src/web/parts/form-values.ts";
import { anchorChoices, type AnchorChoice } from "./anchor-choices.ts";
import { dayQuery, type DayRow } from "./day-form.ts";
import { sunQuery, type Planned } from "./form.ts";
import { hourAxis, strengthPlot } from "./plots.ts";

interface PlaceRow {
  readonly out: string;
  readonly in: string;
  readonly name: string;
  readonly frame: number;
  readonly time: string;
  readonly range: string;
}

export interface DayView {
  readonly rows: readonly DayRow[];
  readonly anchors: readonly AnchorChoice[];
  readonly values: FormValues;
  /** The sun's own fields, carried along. */
  readonly fields: readonly { readonly name: string; readonly value: string }[];
  readonly plannerHref: string;
  readonly hasPlace: boolean;
  readonly day: string;
  readonly clockWords: string;
  readonly places: readonly PlaceRow[];
  readonly leftOver: SunDayAnswer["leftOver"];
  readonly plot: PlotSpec | null;
  readonly calendarHref: string;
  readonly paperHref: string;
  readonly trouble: string | null;
}

const timeOf = (instant: string): string => instant.slice(11, 16);

/** The day's curve with a line for each negative, from out to in, one below the other. */
function dayPlot(asked: Planned, day: SunDayAnswer): PlotSpec | null {
  const { answer, form } = asked;
  if (answer === null || answer.series.length < 2 || day.places.length === 0) return null;
  const { hourOf } = hourAxis(answer, form.clock);
  const curve = strengthPlot(answer, form.clock);
  const step = 80 / day.places.length;
  return {
    ...curve,
    title: "The plan over the day",
    summary: "The day's strength on this frame, and below it when each negative lies outside.",
    series: [
      ...curve.series.slice(0, 1),
      ...day.places.map(({ name, outAt, inAt }, index) => ({
        name: `${name}, ${timeOf(outAt)} to ${timeOf(inAt)}`,
        kind: "line" as const,
        look: 2 + (index % 5),
        points: [hourOf(outAt), hourOf(inAt)].map((x) => ({ x, y: 85 - step * (index + 0.5) })),
      })),
    ],
    lines: [],
  };
}

/** The page of the day's plan. */
export function dayView(
  store: StoreReader,
  {
    asked,
    rows,
    day,
    values,
    trouble,
  }: {
    readonly asked: Planned;
    readonly rows: readonly DayRow[];
    readonly day: SunDayAnswer | null;
    readonly values: FormValues;
    readonly trouble: string | null;
  },
): DayView {
  const { form } = asked;
  const query = `${sunQuery(form)}&${dayQuery(rows, values)}`;
  return {
    rows,
    anchors: anchorChoices(store, form.anchors),
    values: { frames: "1", hands: "1", loadMinutes: "3", emptyMinutes: "2", ...values },
    fields: [...new URLSearchParams(sunQuery(form))].map(([name, value]) => ({ name, value })),
    plannerHref: `/sun?${sunQuery(form)}`,
    hasPlace: form.request !== null,
    day: formatDay(day?.date ?? asked.answer?.day.date ?? new Date().toISOString().slice(0, 10)),
    clockWords: form.clock.name.replaceAll("_", " "),
    places: (day?.places ?? []).map((place) => ({
      out: timeOf(place.outAt),
      in: timeOf(place.inAt),
      name: place.name,
      frame: place.frame,
      time: formatDuration(place.seconds),
      range:
        `${formatDuration(place.lowerSeconds ?? place.seconds)} to ` +
        `${place.upperSeconds === null ? "past sunset" : formatDuration(place.upperSeconds)}`,
    })),
    leftOver: day?.leftOver ?? [],
    plot: day === null ? null : dayPlot(asked, day),
    calendarHref: `/sun/day/calendar.ics?${query}`,
    paperHref: `/sun/day/plan.pdf?${query}`,
    trouble,
  };
}
