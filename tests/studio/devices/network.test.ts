import { createServer } from "node:http";
import { once } from "node:events";
import { networkInterfaces, type NetworkInterfaceInfo } from "node:os";
import type { AddressInfo } from "node:net";
import { describe, expect, it } from "vitest";
import { addressesInNetwork, isLoopback, isPrivateAddress, webAddress } from "#src/studio/devices/network-addresses.ts";
import { networkDoor } from "#src/studio/devices/network-door.ts";

describe("an address", () => {
  it.each(["127.0.0.1", "127.9.9.9", "::1", "::ffff:127.0.0.1", "::ffff:7f00:1"])(
    "%s is this machine's own loop",
    (address) => expect(isLoopback(address)).toBe(true),
  );
  it.each([
    "192.168.1.20",
    "::ffff:192.168.1.20",
    "128.0.0.1",
    "0.0.0.0",
    "::",
    "fd00::1",
    "12.7.0.0",
    "::ffff:128.0.0.1",
  ])("%s is not", (address) => expect(isLoopback(address)).toBe(false));
  // Source: RFC 1918, section 3; RFC 4193, section 3.1; RFC 5737, section 3 (documentation addresses, as public ones)
  it.each(["10.0.0.1", "10.255.255.255", "172.16.0.1", "172.31.255.255", "192.168.0.1", "169.254.1.1", "fd12::1"])(
    "%s belongs to no internet",
    (address) => expect(isPrivateAddress(address)).toBe(true),
  );
  it.each(["11.0.0.1", "172.15.0.1", "172.32.0.1", "192.169.0.1", "203.0.113.7", "100.64.0.1", "2001:db8::1"])(
    "%s may",
    (address) => expect(isPrivateAddress(address)).toBe(false),
  );
  it("of version 6 stands in brackets", () => expect(webAddress("fd00::1", 4870)).toBe("http://[fd00::1]:4870"));
});

function of(address: string, internal = false): NetworkInterfaceInfo {
  return { address, internal, family: address.includes(":") ? "IPv6" : "IPv4" } as NetworkInterfaceInfo;
}

it("a machine's addresses: private ones first and by likelihood, public ones apart, inner networks not at all", () => {
  const found = addressesInNetwork({
    lo: [of("127.0.0.1", true), of("::1", true)],
    eth0: [of("10.1.2.3"), of("203.0.113.7"), of("fe80::1"), of("fd00::5")],
    wlan0: [of("192.168.1.20")],
    docker0: [of("172.17.0.1")],
  });
  expect(found).toEqual({ own: ["192.168.1.20", "10.1.2.3", "fd00::5"], open: ["203.0.113.7"] });
});

describe("the door to the network", () => {
  async function freePort(): Promise<number> {
    const server = createServer().listen(0, "127.0.0.1");
    await once(server, "listening");
    const { port } = server.address() as AddressInfo;
    server.close();
    return port;
  }
  const answer = (_request: unknown, response: { end(text: string): void }): void => response.end("here");
  const reach = (port: number): Promise<string> =>
    fetch(`http://127.0.0.2:${port}/`).then(
      (response) => response.text(),
      () => "nobody",
    );

  // All of 127.0.0.0/8 answers on Linux alone; it stands for an address in a network.
  it.runIf(process.platform === "linux")("opens, follows the machine into another network, and closes", async () => {
    const port = await freePort();
    let own = ["127.0.0.2"];
    const door = networkDoor({
      answer,
      port,
      host: "127.0.0.1",
      findAddresses: () => ({ own, open: ["203.0.113.7"] }),
    });
    expect(door.isOpen).toBe(false);
    expect(door.addresses()).toEqual([]);
    expect(await reach(port)).toBe("nobody");
    await door.open();
    expect(door.addresses()).toEqual([`http://127.0.0.2:${port}`]);
    expect(door.troubles()).toEqual([{ code: "address-of-internet", address: "203.0.113.7" }]);
    expect(await reach(port)).toBe("here");
    await door.close();
    expect(await reach(port)).toBe("nobody");
    own = ["192.0.2.1"];
    await door.open();
    expect(door.addresses()).toEqual([]);
    expect(door.troubles()).toContainEqual(expect.objectContaining({ code: "address-taken" }));
    await door.close();
  });

  it("is open by the setting HOST whatever it does", async () => {
    const find = (): { own: string[]; open: string[] } => ({ own: ["192.168.1.20"], open: ["203.0.113.7"] });
    const door = networkDoor({ answer, port: 4870, host: "0.0.0.0", findAddresses: find });
    await door.open();
    await door.close();
    expect(door.isOpen && door.isOpenBySetting).toBe(true);
    expect(door.addresses()).toEqual(["http://192.168.1.20:4870", "http://203.0.113.7:4870"]);
    const one = networkDoor({ answer, port: 4870, host: "192.168.1.20", findAddresses: find });
    expect(one.addresses()).toEqual(["http://192.168.1.20:4870"]);
  });

  it("finds this machine's own addresses", () => {
    const { own, open } = addressesInNetwork(networkInterfaces());
    for (const address of [...own, ...open]) expect(isLoopback(address)).toBe(false);
  });
});
