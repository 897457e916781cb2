// Addresses at which phones in the same network reach this machine.
import { BlockList } from "node:net";
import { networkInterfaces } from "node:os";

/**
 * Networks that are no part of the internet. Source: RFC 1918, section 3; RFC 3927, section 2.1; RFC 4193, section 3.1
 */
const privateNetworks = new BlockList();
privateNetworks.addSubnet("192.168.0.0", 16);
privateNetworks.addSubnet("10.0.0.0", 8);
privateNetworks.addSubnet("172.16.0.0", 12);
privateNetworks.addSubnet("169.254.0.0", 16);
privateNetworks.addSubnet("fc00::", 7, "ipv6");

const loopback = new BlockList();
loopback.addSubnet("127.0.0.0", 8);
loopback.addAddress("::1", "ipv6");

/** Networks inside this machine, of containers and virtual machines: common names, no source. */
const innerNetwork = /^(docker|br-|veth|virbr|vmnet|vboxnet|lxc|cni|podman)/;

/** Whether an address belongs to this machine's own loop; IPv4 written as IPv6 counts as what it is. */
export function isLoopback(address: string): boolean {
  return loopback.check(address, address.includes(":") ? "ipv6" : "ipv4");
}

/** Whether an address cannot be reached from the internet as it stands. */
export function isPrivateAddress(address: string): boolean {
  return privateNetworks.check(address, address.includes(":") ? "ipv6" : "ipv4");
}

type Interfaces = ReturnType<typeof networkInterfaces>;

/** This machine's addresses in networks of its surroundings; the likeliest first, IPv4 before IPv6. */
export function addressesInNetwork(interfaces: Interfaces = networkInterfaces()): { own: string[]; open: string[] } {
  const all = Object.entries(interfaces)
    .filter(([name]) => !innerNetwork.test(name))
    .flatMap(([, addresses]) => addresses ?? [])
    // Addresses of one cable alone (fe80::) would need its name in every link.
    .filter(({ internal, address }) => !internal && !isLoopback(address) && !/^fe[89ab]/i.test(address))
    .map(({ address }) => address);
  const own = [...new Set(all.filter(isPrivateAddress))].sort((a, b) => rank(a) - rank(b));
  return { own, open: [...new Set(all.filter((address) => !isPrivateAddress(address)))] };
}

function rank(address: string): number {
  const order = ["192.168.", "10.", "172.", "169.254."];
  const at = order.findIndex((start) => address.startsWith(start));
  return at === -1 ? order.length : at;
}

/** An address with its port, as a browser takes it. */
export function webAddress(address: string, port: number): string {
  return `http://${address.includes(":") ? `[${address}]` : address}:${port}`;
}
