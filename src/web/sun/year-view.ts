// The year as one picture: hours down, months across, the exposure in each cell.
import { formatDay } from "#shared/format/instant.ts";
import { formatDuration } from "#shared/format/duration.ts";
import { formatFixed } from "#shared/format/number.ts";
import { clockTime } from "#shared/sun/local-clock.ts";
import { sceneFrom } from "#shared/sun/sky/scene.ts";
import { yearOfExposures, type MonthOfExposures } from "#shared/sun/year-of-exposures.ts";
import { sunQuery, type Planned } from "./form.ts";

const monthNames = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"] as const;

/** Size of a cell and of the room for the axes, in units of the drawing. */
const cell = { width: 58, height: 34 };
const room = { left: 84, top: 44, bottom: 44 };
/** Steps of shade, each half a stop longer than the year's shortest; longer ones share the last. */
const shades = 7;

interface Cell {
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly shade: number;
  readonly label: string;
}

export interface YearView {
  readonly plannerHref: string;
  readonly lead: string;
  readonly width: number;
  readonly height: number;
  readonly cell: typeof cell;
  readonly cells: readonly Cell[];
  readonly months: readonly { readonly name: string; readonly x: number }[];
  readonly hours: readonly { readonly name: string; readonly y: number }[];
  readonly axes: { readonly across: string; readonly down: string; readonly acrossX: number; readonly downY: number };
  readonly key: readonly { readonly shade: number; readonly words: string }[];
  readonly rows: readonly { readonly hour: string; readonly times: readonly string[] }[];
}

const hourName = (hour: number): string => `${String(hour).padStart(2, "0")}:00`;
/** Minutes with a decimal while that has only one figure before it. */
const minutesText = (seconds: number): string => formatFixed(seconds / 60, seconds < 597 ? 1 : 0);

function usedHours(months: readonly MonthOfExposures[]): number[] {
  return Array.from({ length: 24 }, (_, hour) => hour).filter((hour) =>
    months.some(({ secondsByHour }) => (secondsByHour[hour] ?? null) !== null),
  );
}

/** The picture of a year; null where the plan has no dose or no hour of the year suffices. */
export function yearView({ form, answer }: Planned, year: number): YearView | null {
  const { request } = form;
  if (request === null || answer?.dose == null) return null;
  const scene = sceneFrom({ ...request, haze: answer.haze, sky: answer.sky, glass: answer.glass });
  const months = yearOfExposures({ scene, clock: form.clock, dose: answer.dose, year });
  const hours = usedHours(months);
  const all = months.flatMap(({ secondsByHour }) => secondsByHour.filter((seconds) => seconds !== null));
  if (all.length === 0) return null;
  const shortest = Math.min(...all);
  const shadeOf = (seconds: number): number => Math.min(shades - 1, Math.floor(Math.log2(seconds / shortest) * 2));
  const cells = months.flatMap(({ month, secondsByHour }) =>
    hours.flatMap((hour, row): Cell[] => {
      const seconds = secondsByHour[hour] ?? null;
      if (seconds === null) return [];
      return [
        {
          x: room.left + (month - 1) * cell.width,
          y: room.top + row * cell.height,
          text: minutesText(seconds),
          shade: shadeOf(seconds),
          label: `${monthNames[month - 1] ?? ""}, ${hourName(hour)}: ${formatDuration(seconds)}`,
        },
      ];
    }),
  );
  const bottom = room.top + hours.length * cell.height;
  return {
    plannerHref: `/sun?${sunQuery(form)}`,
    lead:
      `The print that is planned for ${formatDay(answer.startAt)}, ` +
      `${clockTime(form.clock, Date.parse(answer.startAt))}, ` +
      "in the middle of each month, at the same place under a clear sky with the frame lying the same. In other " +
      "seasons the haze differs: count with 15 % more or less.",
    width: room.left + 12 * cell.width + 8,
    height: bottom + room.bottom,
    cell,
    cells,
    months: monthNames.map((name, index) => ({ name, x: room.left + (index + 0.5) * cell.width })),
    hours: hours.map((hour, row) => ({ name: hourName(hour), y: room.top + (row + 0.5) * cell.height })),
    axes: {
      across: "month (its 15th day)",
      down: `goes out at (${form.clock.name.replaceAll("_", " ")})`,
      acrossX: room.left + 6 * cell.width,
      downY: room.top + (hours.length * cell.height) / 2,
    },
    key: Array.from({ length: shades }, (_, shade) => ({
      shade,
      words:
        shade === shades - 1
          ? `over ${formatDuration(shortest * 2 ** (shade / 2))}`
          : `to ${formatDuration(shortest * 2 ** ((shade + 1) / 2))}`,
    })),
    rows: hours.map((hour) => ({
      hour: hourName(hour),
      times: months.map(({ secondsByHour }) => {
        const seconds = secondsByHour[hour] ?? null;
        return seconds === null ? "none" : formatDuration(seconds);
      }),
    })),
  };
}
