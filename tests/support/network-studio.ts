// A studio that is asked over the network: a fresh one before each test, and devices that come in.
import request, { type Test } from "supertest";
import { beforeEach, expect } from "vitest";
import { createApp } from "#src/app.ts";
import { readSettings } from "#src/settings.ts";
import { openStore, type Store } from "#src/store/store.ts";
import { entryCodes, type EntryCodes } from "#src/studio/devices/entry-codes.ts";
import { noDoor } from "#src/studio/devices/network-door.ts";
import { fakeImaging } from "./fake-imaging.ts";
import { fromNetwork } from "./from-network.ts";
import { temporaryFolder } from "./temporary-folder.ts";

/** What a device in the network calls this server. */
export const host = "192.168.1.20:4870";

interface NetworkStudio {
  readonly app: ReturnType<typeof createApp>;
  readonly store: Store;
  readonly codes: EntryCodes;
  /** Begins anew with the data of a folder, at another time. */
  begin(dataDir: string, now?: () => Date): void;
  /** Asks as a device in the network. */
  phone(address?: string): ReturnType<typeof request>;
  /** Lets a device in; its cookie. */
  letIn(role: "reader" | "keeper", name?: string, before?: string): Promise<string>;
}

/** Its parts are those of the test that is running. */
export function networkStudio(): NetworkStudio {
  let app: ReturnType<typeof createApp>;
  let store: Store;
  let codes: EntryCodes;
  const begin: NetworkStudio["begin"] = (dataDir, now) => {
    store = openStore(dataDir, now === undefined ? {} : { now });
    codes = entryCodes();
    const settings = { ...readSettings({ ALLOWED_HOSTS: "studio.example" }), dataDir };
    app = createApp({ settings, store, imaging: fakeImaging(), access: { door: noDoor(), codes } });
  };
  beforeEach(() => begin(temporaryFolder()));
  const phone = (address?: string) => request(fromNetwork(app, address));
  return {
    get app() {
      return app;
    },
    get store() {
      return store;
    },
    get codes() {
      return codes;
    },
    begin,
    phone,
    async letIn(role, name = "Phone", before = "") {
      const { code } = codes.make(role);
      const answer = await phone()
        .post("/enter")
        .set({ Host: host, Cookie: before })
        .type("form")
        .send({ code, name, to: "/prints" });
      expect(answer.status).toBe(303);
      return String(answer.headers["set-cookie"]?.[0]).split(";")[0] ?? "";
    },
  };
}

export const asPage = (test: Test): Test => test.set("Accept", "text/html");
