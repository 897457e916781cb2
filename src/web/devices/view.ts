// What the page of phones shows.
import { formatDayAndTime } from "#shared/format/instant.ts";
import type { DeviceRole } from "#shared/schema/devices.ts";
import { doorTroubleWords } from "#shared/words/device-words.ts";
import { squareCode, type SquareCode } from "#src/studio/devices/square-code.ts";
import type { Access } from "#src/studio/devices/switch-devices.ts";
import type { Tools } from "#src/studio/tools.ts";

const roleWords: Readonly<Record<DeviceRole, string>> = {
  reader: "Reader: looks, follows run sheets, runs timers",
  keeper: "Keeper: also makes tests and prints, changes and deletes",
};

export interface DevicesView {
  readonly isOn: boolean;
  readonly isOnBySetting: boolean;
  readonly addresses: readonly string[];
  readonly troubles: readonly string[];
  readonly code: {
    readonly text: string;
    readonly role: string;
    readonly until: string;
    /** One square for each address, the likeliest first. */
    readonly squares: readonly { readonly address: string; readonly square: SquareCode }[];
  } | null;
  /** Wrong codes since the last one was made, when there were some. */
  readonly wrongTries: string | null;
  readonly roles: readonly { readonly value: DeviceRole; readonly label: string }[];
  readonly devices: readonly {
    readonly id: string;
    readonly name: string;
    readonly role: DeviceRole;
    readonly seen: string;
    readonly since: string;
  }[];
}

/** Squares drawn; machines have few networks. */
const mostSquares = 3;

export async function devicesView(
  { store }: Pick<Tools, "store">,
  { door, codes }: Access,
  now: Date,
): Promise<DevicesView> {
  const current = codes.current();
  const addresses = door.addresses();
  const { count, from } = codes.wrongTries();
  const squares = addresses.slice(0, mostSquares).map(async (address) => ({
    address,
    square: await squareCode(`${address}/enter?code=${current?.code.replace("-", "") ?? ""}`),
  }));
  return {
    isOn: door.isOpen,
    isOnBySetting: door.isOpenBySetting,
    addresses,
    troubles: door.troubles().map(doorTroubleWords),
    code:
      current === null
        ? null
        : {
            text: current.code,
            role: current.role,
            until: minutesLeft(current.expiresAt, now),
            squares: await Promise.all(squares),
          },
    wrongTries:
      count === 0
        ? null
        : `${count} wrong ${count === 1 ? "code was" : "codes were"} tried, last from ${from ?? "nowhere"}.`,
    roles: Object.entries(roleWords).map(([value, label]) => ({ value: value as DeviceRole, label })),
    devices: store.devices.list().map(({ id, name, role, lastSeenAt, createdAt }) => ({
      id,
      name,
      role,
      seen: formatDayAndTime(lastSeenAt),
      since: formatDayAndTime(createdAt),
    })),
  };
}

function minutesLeft(until: Date, now: Date): string {
  const minutes = Math.max(1, Math.ceil((until.getTime() - now.getTime()) / 60_000));
  return minutes === 1 ? "one more minute" : `${minutes} more minutes`;
}
