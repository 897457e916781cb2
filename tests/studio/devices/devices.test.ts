// Devices let in for a code from the desk, known by their secret, shut out again.
import { describe, expect, it } from "vitest";
import { entryCodes } from "#src/studio/devices/entry-codes.ts";
import { changeDevice, deviceWithSecret, letDeviceIn, shutOutDevice } from "#src/studio/devices/let-in.ts";
import { squareCode, terminalCode } from "#src/studio/devices/square-code.ts";
import { switchDevices } from "#src/studio/devices/switch-devices.ts";
import { testApp } from "../../support/test-app.ts";

const dayMs = 24 * 3_600_000;

function desk() {
  const { store } = testApp();
  const codes = entryCodes();
  const letIn = (code: string, name = "Phone by the sink") =>
    letDeviceIn({ store }, codes, { code, name, address: "192.168.0.9", before: undefined });
  return { store, codes, letIn };
}

describe("letDeviceIn and deviceWithSecret", () => {
  it("lets one device in for a code, once, and knows it by its secret alone", () => {
    const { store, codes, letIn } = desk();
    const { code } = codes.make("reader");
    const { device, secret } = letIn(code);
    expect(device).toMatchObject({ name: "Phone by the sink", role: "reader" });
    expect(deviceWithSecret({ store }, secret, new Date())?.id).toBe(device.id);
    expect(deviceWithSecret({ store }, `${secret.slice(1)}A`, new Date())).toBeUndefined();
    expect(() => letIn(code)).toThrow(expect.objectContaining({ code: "wrong-code" }));
    expect(store.devices.list()).toHaveLength(1);
  });

  it("without a name, refuses and leaves the code good", () => {
    const { codes, letIn } = desk();
    const { code } = codes.make("keeper");
    expect(() => letIn(code, " ")).toThrow(expect.objectContaining({ field: "name" }));
    expect(letIn(code).device.role).toBe("keeper");
  });

  it("forgets a device that stayed away for half a year", () => {
    const { store, codes, letIn } = desk();
    const { secret } = letIn(codes.make("reader").code);
    expect(deviceWithSecret({ store }, secret, new Date(Date.now() + 179 * dayMs))).toBeDefined();
    expect(deviceWithSecret({ store }, secret, new Date(Date.now() + 400 * dayMs))).toBeUndefined();
  });
});

describe("changeDevice and shutOutDevice", () => {
  it("rename it or give it another role; shut out, its secret is good no longer", () => {
    const { store, codes, letIn } = desk();
    const { device, secret } = letIn(codes.make("reader").code);
    expect(changeDevice({ store }, device.id, { role: "keeper" })).toMatchObject({ name: device.name, role: "keeper" });
    expect(() => changeDevice({ store }, device.id, { role: "owner" })).toThrow();
    shutOutDevice({ store }, device.id);
    expect(deviceWithSecret({ store }, secret, new Date())).toBeUndefined();
  });
});

describe("switchDevices", () => {
  it("remembers the choice, opens and closes the door, and withdraws the code when it closes", async () => {
    const { store, codes } = desk();
    const moves: string[] = [];
    const door = {
      isOpenBySetting: false,
      isOpen: false,
      addresses: () => [],
      troubles: () => [],
      open: async () => void moves.push("open"),
      close: async () => void moves.push("close"),
    };
    await switchDevices({ store }, { door, codes }, true);
    codes.make("reader");
    await switchDevices({ store }, { door, codes }, false);
    expect(moves).toEqual(["open", "close"]);
    expect(codes.current()).toBeNull();
  });
});

describe("square codes", () => {
  it("have a quiet zone of four modules round them, and rows of one width in a terminal", async () => {
    const { side, path } = await squareCode("http://192.168.0.7:4870/enter");
    // Sides of the standard's symbols are 21, 25, 29 … (ISO/IEC 18004, clause 6.3.1: from memory).
    expect((side - 8 - 21) % 4).toBe(0);
    const places = [...path.matchAll(/M(\d+) (\d+)h1v1h-1z/g)].flatMap(([, x, y]) => [Number(x), Number(y)]);
    expect(Math.min(...places)).toBe(4);
    expect(Math.max(...places)).toBe(side - 5);
    // eslint-disable-next-line no-control-regex
    const lines = (await terminalCode("http://192.168.0.7:4870/enter")).replaceAll(/\u001b\[[\d;]*m/g, "").split("\n");
    expect(new Set(lines.map(({ length }) => length))).toEqual(new Set([side - 4]));
  });
});
