// Devices that were let in, and the switch that lets them. They belong to this machine: a restore leaves them as they
// are.
import { InputError } from "#shared/errors.ts";
import { deviceRoleSchema, type Device, type DeviceChange, type DeviceRole } from "#shared/schema/devices.ts";
import { newId } from "#src/store/ids.ts";
import type { Sql, SqlRow } from "#src/store/sql.ts";

export interface DeviceTable {
  /** By name. */
  list(): Device[];
  /** @throws InputError "not-found". */
  get(id: string): Device;
  /** The device with this secret, by the secret's SHA-256 in hexadecimal. */
  findBySecret(secretHash: string): Device | undefined;
  create(input: { name: string; role: DeviceRole; secretHash: string }): Device;
  /** @throws InputError "not-found". */
  replace(id: string, change: DeviceChange): Device;
  /** Was here just now. */
  noteSeen(id: string): void;
  /** Nothing happens when it is not there. */
  remove(id: string): void;
  /** Forgets devices that were not here since an instant; gives their number. */
  removeUnseenSince(instant: string): number;
  isSwitchedOn(): boolean;
  switchTo(isOn: boolean): void;
}

/** Tables of this machine alone, which a restore leaves as they are. */
export const deviceTables: readonly string[] = ["devices", "device_switch"];

const columns = "id, created_at, last_seen_at, name, role";

export function deviceTable(sql: Sql, now: () => Date): DeviceTable {
  const deviceFrom = (row: SqlRow): Device => ({
    id: String(row["id"]),
    name: String(row["name"]),
    role: deviceRoleSchema.parse(row["role"]),
    createdAt: String(row["created_at"]),
    lastSeenAt: String(row["last_seen_at"]),
  });

  function get(id: string): Device {
    const row = sql.get(`SELECT ${columns} FROM devices WHERE id = ?`, id);
    if (row === undefined)
      throw new InputError("not-found", "This device is not known any more: it was shut out, or it left.");
    return deviceFrom(row);
  }

  return {
    get,
    list: () => sql.all(`SELECT ${columns} FROM devices ORDER BY name COLLATE NOCASE, id`).map(deviceFrom),
    findBySecret(secretHash) {
      const row = sql.get(`SELECT ${columns} FROM devices WHERE secret_hash = ?`, secretHash);
      return row === undefined ? undefined : deviceFrom(row);
    },
    create({ name, role, secretHash }) {
      const id = newId();
      const at = now().toISOString();
      sql.run(
        `INSERT INTO devices (${columns}, secret_hash) VALUES (?, ?, ?, ?, ?, ?)`,
        id,
        at,
        at,
        name,
        role,
        secretHash,
      );
      return get(id);
    },
    replace(id, change) {
      const before = get(id);
      const { name = before.name, role = before.role } = change;
      sql.run("UPDATE devices SET name = ?, role = ? WHERE id = ?", name, role, id);
      return get(id);
    },
    noteSeen(id) {
      sql.run("UPDATE devices SET last_seen_at = ? WHERE id = ?", now().toISOString(), id);
    },
    remove(id) {
      sql.run("DELETE FROM devices WHERE id = ?", id);
    },
    removeUnseenSince: (instant) => sql.run("DELETE FROM devices WHERE last_seen_at < ?", instant),
    isSwitchedOn: () => sql.get("SELECT is_on FROM device_switch")?.["is_on"] === 1,
    switchTo(isOn) {
      sql.run(
        "INSERT INTO device_switch (id, is_on) VALUES (1, ?) ON CONFLICT (id) DO UPDATE SET is_on = excluded.is_on",
        isOn ? 1 : 0,
      );
    },
  };
}
